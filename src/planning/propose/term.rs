//! What a plan is to be good for, in its order, and with which weights.

use data_import::NutrientId;

/// One aim of a plan. Each is measured by what is short of it, from 0 to 100 points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Term {
    /// Iron short of the reference intake, over all days.
    Iron,
    /// Zinc, likewise.
    Zinc,
    /// Energy from food short of what the age wants, day by day.
    Energy,
    /// Vitamin A short of the reference intake, over all days.
    VitaminA,
    /// Vitamin C, likewise.
    VitaminC,
    /// Food groups short of what is wanted a day.
    Groups,
    /// Cubes of a flavour beyond two meals a day.
    Repeats,
    /// Refused foods that are not offered again.
    OfferAgain,
    /// Days that the cubes on the plate could have waited.
    Oldest,
    /// Cubes that spoil in the freezer.
    Waste,
    /// Money for the cubes that are served and the trays that are cooked.
    Cost,
}

impl Term {
    /// All of them, in their order.
    pub const ALL: [Self; 11] = [
        Self::Iron,
        Self::Zinc,
        Self::Energy,
        Self::VitaminA,
        Self::VitaminC,
        Self::Groups,
        Self::Repeats,
        Self::OfferAgain,
        Self::Oldest,
        Self::Waste,
        Self::Cost,
    ];

    /// Weight of a point. Each step down is a quarter of the step above, so that all later aims together weigh less than half of an earlier
    /// one: iron, zinc, energy, vitamins, variety, the oldest cubes, waste, cost. Our own choice.
    pub fn weight(self) -> i64 {
        match self {
            Self::Iron => 16_384,
            Self::Zinc => 4_096,
            Self::Energy => 1_024,
            Self::VitaminA | Self::VitaminC => 256,
            Self::Groups | Self::Repeats | Self::OfferAgain => 64,
            Self::Oldest => 16,
            Self::Waste => 4,
            Self::Cost => 1,
        }
    }

    /// The most points of this aim: aims of one step share its 100.
    pub(super) fn points(self) -> i64 {
        match self {
            Self::VitaminA | Self::VitaminC | Self::Groups => 50,
            Self::Repeats | Self::OfferAgain => 25,
            _ => 100,
        }
    }

    /// As a parent reads it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Iron => "iron",
            Self::Zinc => "zinc",
            Self::Energy => "energy from food",
            Self::VitaminA => "vitamin A",
            Self::VitaminC => "vitamin C",
            Self::Groups => "food groups",
            Self::Repeats => "no flavour more than twice a day",
            Self::OfferAgain => "refused foods offered again",
            Self::Oldest => "oldest cubes first",
            Self::Waste => "least waste",
            Self::Cost => "least cost",
        }
    }

    /// The nutrient it is about.
    pub fn nutrient(self) -> Option<NutrientId> {
        match self {
            Self::Iron => Some(NutrientId::IRON),
            Self::Zinc => Some(NutrientId::ZINC),
            Self::Energy => Some(NutrientId::ENERGY),
            Self::VitaminA => Some(NutrientId::VITAMIN_A_RAE),
            Self::VitaminC => Some(NutrientId::VITAMIN_C),
            _ => None,
        }
    }

    /// Place in [`Self::ALL`].
    pub(super) fn index(self) -> usize {
        self as usize
    }
}

/// The nutrients that count over all days together: reference intakes are averages over days (IOM, Dietary Reference
/// Intakes: The Essential Guide to Nutrient Requirements, 2006).
pub(super) const OVER_ALL_DAYS: [Term; 4] =
    [Term::Iron, Term::Zinc, Term::VitaminA, Term::VitaminC];
