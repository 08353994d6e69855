header AS (
  SELECT recipe_id, count(*) AS copies,
         max(coalesce(collected_ml, 0e0)) AS collected_ml, max(coalesce(returned_ml, 0e0)) AS returned_ml,
         max(coalesce(added_ml, 0e0)) AS added_ml, max(coalesce(water_food, '14411')) AS water_food,
         max(puree_weighed_g) AS puree_weighed_g, max(coalesce(loss_g, 0e0)) AS loss_g,
         max(well_ml) AS well_ml, max(fill) AS fill, max(cubes_per_serving) AS cubes_per_serving,
         max(CASE WHEN coalesce(reheat, true) THEN 1e0 ELSE 0e0 END) AS warm
  FROM {recipes} GROUP BY recipe_id)
