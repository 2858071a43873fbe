//! An item of the inspection sheet: what is looked at, and what it counts for.

use super::limit::Limit;
use crate::trade::bike::words;
use std::fmt;

words! {
    /// A place on the walk round the bike.
    Group {
        Bike = "the bike", FrontWheel = "front wheel", FrontBrake = "front brake",
        Steering = "steering", Frame = "frame and fork", Saddle = "saddle and seat post",
        RearWheel = "rear wheel", RearBrake = "rear brake", Drive = "drive",
        Fittings = "fittings", Finish = "finish", Road = "road test",
    }
}

words! {
    /// What wears, or is missing: the classes in which points are lost.
    Wear {
        Drive = "drive", Brakes = "brakes", Wheels = "wheels and tyres",
        Bearings = "bearings", Controls = "controls", Cosmetics = "cosmetics",
        Completeness = "completeness",
    }
}

impl Wear {
    /// Most points that can be lost in the class; together 100 (judgement, no
    /// source).
    pub fn most(self) -> u32 {
        match self {
            Wear::Drive => 20,
            Wear::Brakes | Wear::Wheels | Wear::Bearings | Wear::Cosmetics => 15,
            Wear::Controls | Wear::Completeness => 10,
        }
    }
}

/// One item of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Item {
    /// Its name in the sheet.
    pub name: &'static str,
    /// Where on the walk it stands.
    pub group: Group,
    /// How to look, in plain words.
    pub look: &'static str,
    /// Where its limit or rule comes from: clauses, or 'common practice'.
    pub source: &'static str,
    /// What the sheet takes for it.
    pub holds: Holds,
}

/// What the sheet takes for an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// A result, and a measure if it has one.
    Check(Check),
    /// A fact in the measure column, no result.
    Fact(Fact),
}

/// A check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Check {
    /// What it weighs.
    pub weight: Weight,
    /// The class in which it loses points, and how many when it fails.
    pub costs: Option<(Wear, u32)>,
    /// Whether a sound bike may be without it.
    pub may_lack: bool,
    /// What is measured.
    pub limit: Option<Limit>,
    /// The job that mends it.
    pub job: Option<&'static str>,
}

/// What a check weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Open, nobody rides the bike.
    Gate,
    /// A mechanical fault that is no gate: the bike is no better than a rider.
    Fault,
    /// Looks and fittings: points alone.
    Looks,
    /// Told, and nothing else.
    Told,
    /// The road test: failed it is an open gate, not done it bars the best grade
    /// and the words 'ready to ride'.
    RoadTest,
}

/// A fact about the bike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fact {
    /// The user's own name for it.
    Name,
    /// A style.
    Style,
    /// One of these words.
    Words(&'static [FactWord]),
    /// A length of the frame, in tenths of a millimetre.
    FrameLength,
    /// A tyre size by ISO 5775.
    Tyre,
}

/// A word for a part, with what it says of the component tier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FactWord {
    /// The word.
    pub word: &'static str,
    /// The tier that such parts go with, 1 to 5 (judgement, no source); `None`
    /// where it says nothing.
    pub tier: Option<u8>,
}

impl Item {
    const fn check(
        weight: Weight,
        name: &'static str,
        group: Group,
        look: &'static str,
        source: &'static str,
    ) -> Self {
        Self {
            name,
            group,
            look,
            source,
            holds: Holds::Check(Check {
                weight,
                costs: None,
                may_lack: false,
                limit: None,
                job: None,
            }),
        }
    }

    pub(super) const fn gate(
        name: &'static str,
        group: Group,
        look: &'static str,
        source: &'static str,
    ) -> Self {
        Self::check(Weight::Gate, name, group, look, source)
    }

    pub(super) const fn fault(
        name: &'static str,
        group: Group,
        look: &'static str,
        source: &'static str,
    ) -> Self {
        Self::check(Weight::Fault, name, group, look, source)
    }

    pub(super) const fn looks(
        name: &'static str,
        group: Group,
        look: &'static str,
        source: &'static str,
    ) -> Self {
        Self::check(Weight::Looks, name, group, look, source)
    }

    pub(super) const fn told(
        name: &'static str,
        group: Group,
        look: &'static str,
        source: &'static str,
    ) -> Self {
        Self::check(Weight::Told, name, group, look, source)
    }

    pub(super) const fn road(name: &'static str, look: &'static str, source: &'static str) -> Self {
        Self::check(Weight::RoadTest, name, Group::Road, look, source)
    }

    pub(super) const fn fact(
        name: &'static str,
        group: Group,
        look: &'static str,
        source: &'static str,
        fact: Fact,
    ) -> Self {
        Self {
            name,
            group,
            look,
            source,
            holds: Holds::Fact(fact),
        }
    }

    const fn with(self, check: Check) -> Self {
        Self {
            holds: Holds::Check(check),
            ..self
        }
    }

    const fn inner(&self) -> Check {
        match self.holds {
            Holds::Check(check) => check,
            Holds::Fact(_) => panic!("a fact is no check"), // when the tables are compiled
        }
    }

    pub(super) const fn costs(self, wear: Wear, points: u32) -> Self {
        let check = self.inner();
        self.with(Check {
            costs: Some((wear, points)),
            ..check
        })
    }

    pub(super) const fn may_lack(self) -> Self {
        let check = self.inner();
        self.with(Check {
            may_lack: true,
            ..check
        })
    }

    pub(super) const fn measured(self, limit: Limit) -> Self {
        let check = self.inner();
        self.with(Check {
            limit: Some(limit),
            ..check
        })
    }

    pub(super) const fn mended_by(self, job: &'static str) -> Self {
        let check = self.inner();
        self.with(Check {
            job: Some(job),
            ..check
        })
    }

    /// The check, if it is one.
    pub fn as_check(&self) -> Option<&Check> {
        match &self.holds {
            Holds::Check(check) => Some(check),
            Holds::Fact(_) => None,
        }
    }

    /// Whether it is a gate (the road test is none until it has failed).
    pub fn is_gate(&self) -> bool {
        self.as_check()
            .is_some_and(|check| check.weight == Weight::Gate)
    }
}
