//! The causes of doubt about a figure.

use std::fmt;
use std::str::FromStr;
use std::sync::Arc;

use data_import::FoodId;
use serde::Serialize;

/// The id of one cooking: servings from the same pot share its lots, its weighing and its losses.
/// `""` is a pot that is not on record yet, and the pack of a food that is eaten as it is.
pub type PotId = Arc<str>;

/// The cause of a doubt. Amounts under equal causes err together.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// The lot of a food that was bought for a pot differs from others.
    Lot(FoodId, PotId),
    /// The value in the food table is the mean of few analyses of another time and place.
    Database(FoodId),
    /// A published retention factor, by its row, is not that of this kitchen.
    Retention(FoodId, String),
    /// The kitchen scale or a household measure, by the place of the ingredient in the recipe.
    Mass(FoodId, usize, PotId),
    /// What is peeled and trimmed off differs from the published share.
    Refuse(FoodId),
    /// A yield, by its source, is not that of this kitchen.
    Yield(FoodId, String),
    /// A cooked food or the purée on the scale.
    Weighing(usize, PotId),
    /// How high the wells of a tray are filled.
    Fill(Arc<str>),
    /// The mass that stays in the pot and the blender.
    Transfer(PotId),
    /// The amount of an estimated milk that was drunk.
    Milk(FoodId),
}

/// The kind of a doubt, as it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum DoubtKind {
    /// The composition of a food.
    Composition,
    /// The share of the batch in a cube.
    Portion,
    /// The mass of a food that went in.
    Mass,
    /// The refuse of a food.
    Refuse,
    /// The losses by cooking.
    Retention,
    /// The amount eaten.
    Eaten,
}

impl Cause {
    /// The kind of doubt.
    pub fn kind(&self) -> DoubtKind {
        match self {
            Self::Lot(..) | Self::Database(_) => DoubtKind::Composition,
            Self::Retention(..) => DoubtKind::Retention,
            Self::Mass(..) => DoubtKind::Mass,
            Self::Refuse(_) => DoubtKind::Refuse,
            Self::Yield(..) | Self::Weighing(..) | Self::Fill(_) | Self::Transfer(_) => {
                DoubtKind::Portion
            }
            Self::Milk(_) => DoubtKind::Eaten,
        }
    }

    /// The food of the doubt, where it is about one food.
    pub fn food(&self) -> Option<&FoodId> {
        match self {
            Self::Lot(food, _)
            | Self::Database(food)
            | Self::Retention(food, _)
            | Self::Mass(food, ..)
            | Self::Refuse(food)
            | Self::Milk(food) => Some(food),
            _ => None,
        }
    }

    /// The same cause in another pot.
    #[must_use]
    pub fn in_pot(&self, pot: &PotId) -> Self {
        let pot = Arc::clone(pot);
        match self {
            Self::Lot(food, _) => Self::Lot(food.clone(), pot),
            Self::Mass(food, place, _) => Self::Mass(food.clone(), *place, pot),
            Self::Weighing(place, _) => Self::Weighing(*place, pot),
            Self::Transfer(_) => Self::Transfer(pot),
            other => other.clone(),
        }
    }
}

/// Writes the cause as it is in the record: a word and its details, without the pot, which the
/// record knows.
impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Lot(food, _) => write!(f, "lot {food}"),
            Self::Database(food) => write!(f, "database {food}"),
            Self::Retention(food, row) => write!(f, "retention {food} {row}"),
            Self::Mass(food, place, _) => write!(f, "mass {food} {place}"),
            Self::Refuse(food) => write!(f, "refuse {food}"),
            Self::Yield(food, row) => write!(f, "yield {food} {row}"),
            Self::Weighing(place, _) => write!(f, "weighing {place}"),
            Self::Fill(tray) => write!(f, "fill {tray}"),
            Self::Transfer(_) => f.write_str("transfer"),
            Self::Milk(food) => write!(f, "milk {food}"),
        }
    }
}

/// The error for a cause in the record that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is no cause of a doubt")]
pub struct UnreadCause(String);

impl FromStr for Cause {
    type Err = UnreadCause;

    fn from_str(text: &str) -> Result<Self, UnreadCause> {
        let unread = || UnreadCause(text.into());
        let (word, rest) = text.split_once(' ').unwrap_or((text, ""));
        let (first, second) = rest.split_once(' ').unwrap_or((rest, ""));
        let food = || first.parse::<FoodId>().map_err(|_| unread());
        let place = |place: &str| place.parse::<usize>().map_err(|_| unread());
        let pot = || PotId::from("");
        Ok(match word {
            "lot" => Self::Lot(food()?, pot()),
            "database" => Self::Database(food()?),
            "retention" => Self::Retention(food()?, second.into()),
            "mass" => Self::Mass(food()?, place(second)?, pot()),
            "refuse" => Self::Refuse(food()?),
            "yield" => Self::Yield(food()?, second.into()),
            "weighing" => Self::Weighing(place(first)?, pot()),
            "fill" => Self::Fill(rest.into()),
            "transfer" => Self::Transfer(pot()),
            "milk" => Self::Milk(food()?),
            _ => return Err(unread()),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn causes_are_read_as_they_are_written() {
        let food: FoodId = "11485".parse().unwrap();
        let pot = PotId::from("");
        for cause in [
            Cause::Lot(food.clone(), Arc::clone(&pot)),
            Cause::Database(food.clone()),
            Cause::Retention(food.clone(), "3784".into()),
            Cause::Retention(food.clone(), String::new()),
            Cause::Mass(food.clone(), 2, Arc::clone(&pot)),
            Cause::Refuse(food.clone()),
            Cause::Yield(food.clone(), "a publication, page 3".into()),
            Cause::Weighing(1, Arc::clone(&pot)),
            Cause::Fill("big tray".into()),
            Cause::Transfer(Arc::clone(&pot)),
            Cause::Milk(food),
        ] {
            let written = cause.to_string();
            assert_eq!(written.trim_end().parse(), Ok(cause), "{written}");
        }
        assert!("lot squash".parse::<Cause>().is_err());
        assert!("luck".parse::<Cause>().is_err());
    }
}
