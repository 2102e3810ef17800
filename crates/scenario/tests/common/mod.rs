//! A scenario that is right, and a shelf of pages in memory.
#![allow(dead_code, clippy::unwrap_used)]

use std::collections::BTreeMap;

use scenario::fault::Fault;
use scenario::{Faulty, Gathered, Page, Shelf, WhatIf, gather};
use serde_json::Value;

/// A whole scenario that is right.
pub const ROOM: &str = r#"{
  "title": "North bay",
  "start": "2031-01-01",
  "horizon_years": 5,
  "time_zone": "Etc/UTC",
  "currency": "EUR",
  "money": {"basis": "real", "discount_rate": {"is": 6, "unit": "%/yr", "grade": "guess"}},
  "canopy": {
    "area": {"is": 120, "unit": "ft²", "grade": "measured"},
    "target_ppfd": 500
  },
  "photoperiod": {
    "phases": [
      {"name": "leaf", "days": 21, "lights": [{"on": "04:00", "off": "22:00"}]},
      {"name": "bloom", "days": 60, "lights": [{"on": "06:00", "off": "18:00"}], "power": 1.0}
    ]
  },
  "contracts": [
    {"name": "flat", "tariff": {"energy": [{"price": 0.2}]}},
    {"name": "night", "tariff": {"file": "night.json"}, "lights_on": "20:00"}
  ],
  "options": [
    {
      "name": "A plain arc",
      "technology": "high_pressure_sodium",
      "fixtures": 12,
      "wall_power": {"is": 1.05, "unit": "kW", "grade": "measured", "note": "clamp meter", "dated": "2030-11"},
      "light": {"mean": {"ppfd": 640, "area": 1.44, "height": 0.9}},
      "maintenance": {"exponential": {"rate": {"is": 0.02, "unit": "1/kh"}}},
      "fixture": {"price": 210, "installation": 40},
      "lamp": {"file": "parts/arc.json"},
      "upkeep": {"relamp": {"on_failure": {}}, "spot_labour": 12}
    },
    {
      "name": "B long-life arc",
      "technology": "high_pressure_sodium",
      "fixtures": 12,
      "wall_power": {"normal": {"mean": 1040, "sd": 15}, "unit": "W", "luck": "meter"},
      "light": {"ppf": {"ppf": 1900, "utilisation": 0.8}},
      "maintenance": {"constant": {}},
      "fixture": {"price": 210, "installation": 40},
      "lamp": {
        "price": 61,
        "disposal": 2,
        "life": {"b50": {"is": 24, "unit": "kh"}, "shape": 4, "rated_hours_per_start": 12}
      },
      "upkeep": {"relamp": {"group": {"every": {"is": 15, "unit": "kh"}}}}
    }
  ]
}
"#;

/// The tariff it links to.
pub const NIGHT: &str = r#"{
  "energy": [
    {"when": {"days": ["weekday"], "from": "22:00", "until": "06:00"}, "price": 0.11},
    {"price": 0.24}
  ],
  "demand": [{"price": {"is": 9, "unit": "EUR/kW/month"}}]
}
"#;

/// The lamp it links to.
pub const ARC: &str = r#"{
  "price": {"triangular": {"low": 38, "mode": 46, "high": 60}},
  "disposal": 2,
  "life": {"b50": {"is": 16, "unit": "kh"}, "shape": 3.5, "rated_hours_per_start": 12}
}
"#;

/// Pages in memory. Links lead to the page of that name, whatever page they stand in.
pub struct Pages(pub BTreeMap<String, String>);

impl Pages {
    /// The pages that the scenario links to.
    pub fn usual() -> Self {
        Self::of(&[("night.json", NIGHT), ("parts/arc.json", ARC)])
    }

    /// Pages by name and text.
    pub fn of(pages: &[(&str, &str)]) -> Self {
        Self(pages.iter().map(|(name, text)| (name.to_string(), text.to_string())).collect())
    }
}

impl Shelf for Pages {
    fn page(&self, _from: &str, link: &str) -> Result<Page, String> {
        match self.0.get(link) {
            Some(text) => Ok(Page { name: link.to_string(), text: text.clone() }),
            None => Err("there is no such file".to_string()),
        }
    }
}

pub fn page(text: &str) -> Page {
    Page { name: "room.json".to_string(), text: text.to_string() }
}

/// The scenario with `from` replaced by `to`, which must be there exactly once.
pub fn room_with(from: &str, to: &str) -> String {
    assert_eq!(ROOM.matches(from).count(), 1, "{from}");
    ROOM.replace(from, to)
}

pub fn good(text: &str, what_ifs: &[&str]) -> Gathered {
    let what_ifs: Vec<WhatIf> = what_ifs.iter().map(|text| WhatIf::parse_set(text).unwrap()).collect();
    match gather(page(text), &Pages::usual(), &what_ifs) {
        Ok(gathered) => gathered,
        Err(faulty) => panic!("{}", shown(&faulty)),
    }
}

pub fn bad(text: &str, what_ifs: &[&str]) -> Faulty {
    let what_ifs: Vec<WhatIf> = what_ifs.iter().map(|text| WhatIf::parse_set(text).unwrap()).collect();
    bad_with(text, &Pages::usual(), &what_ifs)
}

pub fn bad_with(text: &str, pages: &Pages, what_ifs: &[WhatIf]) -> Faulty {
    gather(page(text), pages, what_ifs).expect_err("the scenario should be faulty")
}

pub fn only(faulty: &Faulty) -> &Fault {
    assert_eq!(faulty.faults.len(), 1, "{}", shown(faulty));
    &faulty.faults[0]
}

pub fn shown(faulty: &Faulty) -> String {
    faulty.sources.show(&faulty.faults, false)
}

pub fn at<'a>(value: &'a Value, pointer: &str) -> &'a Value {
    value.pointer(pointer).unwrap_or_else(|| panic!("nothing at {pointer}"))
}
