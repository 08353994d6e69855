//! Invented packets, as many as wanted: what a table of branded foods is like, without one.
//!
//! Makers are put together from meaningless syllables; names from words of the given foods, the
//! words of packets, and the given queries, in capitals, now and then with a letter lost. No maker
//! and no product here is real.

use trayful::food::search::Entry;

/// What packets are made of.
#[derive(Debug)]
pub(crate) struct Packets {
    /// Names of basic foods; segments between commas are taken from them.
    foods: Vec<String>,
    /// What cooks type; some packets are called just that.
    queries: Vec<String>,
}

const SYLLABLES: [&str; 16] = [
    "zu", "vli", "xo", "mri", "qua", "plo", "zhe", "tku", "wra", "ofi", "gno", "yx", "dwe", "bzi",
    "kri", "juu",
];
const COMPANIES: [&str; 8] = [
    "Foods, Inc.",
    "Co.",
    "Green Kitchen",
    "Golden Farm LLC",
    "Oats Company",
    "Baby Foods",
    "Natural Group",
    "Brands",
];
const PRAISE: [&str; 12] = [
    "organic",
    "natural",
    "creamy",
    "crunchy",
    "classic",
    "premium",
    "fresh",
    "tender",
    "spicy",
    "homestyle",
    "gluten free",
    "low fat",
];
const PRODUCTS: [&str; 20] = [
    "puree",
    "sauce",
    "chips",
    "snack",
    "bar",
    "soup",
    "mix",
    "yogurt",
    "dressing",
    "juice",
    "cereal",
    "cookies",
    "crackers",
    "baby food",
    "smoothie",
    "salad",
    "dip",
    "pasta",
    "curry",
    "bites",
];
const MAKERS: u64 = 4000;

impl Packets {
    /// Packets of these foods, and of the kitchen's queries.
    pub(crate) fn new(foods: &[Entry]) -> Self {
        let table = include_str!("../data/kitchen-queries.csv");
        let query = |line: &str| line.split(',').next().unwrap_or_default().to_owned();
        let foods = foods.iter().filter(|food| has_no_brand(food));
        Self {
            foods: foods.map(|food| food.name.clone()).collect(),
            queries: table.lines().skip(1).map(query).collect(),
        }
    }

    /// The packet of a number; the same whenever asked for.
    pub(crate) fn packet(&self, number: u64) -> Entry {
        let mut dice = Dice(number);
        let name = match dice.roll(20) {
            0 => dice.pick(&self.queries).clone(),
            1..6 => format!("{} {}", dice.pick(&PRAISE), self.food(&mut dice)),
            6..12 => format!("{} {}", self.food(&mut dice), dice.pick(&PRODUCTS)),
            12..17 => format!(
                "{} {} & {} {}",
                dice.pick(&PRAISE),
                self.food(&mut dice),
                self.food(&mut dice),
                dice.pick(&PRODUCTS)
            ),
            _ => format!("{}, {}", self.food(&mut dice), self.food(&mut dice)),
        };
        let mut name = name.to_uppercase();
        if dice.roll(30) == 0 && name.is_ascii() {
            name.remove(dice.below(name.len()));
        }
        Entry {
            id: format!("packet-{number}"),
            name,
            manufacturer: maker(dice.roll(MAKERS)),
            branded: true,
            ..Entry::default()
        }
    }

    /// One segment of the name of a food, the first one more often.
    fn food(&self, dice: &mut Dice) -> String {
        let name = dice.pick(&self.foods);
        let segments: Vec<&str> = name.split(['(', ',']).collect();
        let at = dice.below(segments.len()) * dice.below(2);
        segments[at].trim().to_owned()
    }
}

/// Whether a food is of no maker, no restaurant, and no name in capitals.
fn has_no_brand(food: &Entry) -> bool {
    let capitals = food.name.split(|c: char| !c.is_alphanumeric());
    let mut capitals = capitals.filter(|word| word.len() > 1 && *word == word.to_uppercase());
    let groups = ["2100", "2200", "2500", "3600", "0300", "0800", "1900"];
    food.manufacturer.is_empty()
        && !groups.contains(&food.group.as_str())
        && !capitals.any(|word| word.starts_with(char::is_alphabetic))
}

/// The maker of a number below [`MAKERS`].
fn maker(number: u64) -> String {
    let mut dice = Dice(number + 0xabcd);
    let mut brand = String::new();
    for _ in 0..3 {
        brand += *dice.pick(&SYLLABLES);
    }
    let brand = brand[..1].to_uppercase() + &brand[1..];
    format!("{brand} {}", dice.pick(&COMPANIES))
}

/// `SplitMix64` (Steele, Lea, Flood 2014), constants from memory; any mixing would do.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % sides
    }

    fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.roll(end.max(1) as u64)).unwrap_or(0)
    }

    fn pick<'a, T>(&mut self, among: &'a [T]) -> &'a T {
        &among[self.below(among.len())]
    }
}
