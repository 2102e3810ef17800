//! `check`: every fault at once, or what the scenario rests on.

use clap::Args;
use serde_json::json;

use crate::args::Which;
use crate::failure::Failure;
use crate::{scene, terminal};

/// Options of `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// Which scenario, and what if.
    #[command(flatten)]
    pub which: Which,
    /// Print JSON for another program.
    #[arg(long)]
    pub json: bool,
}

/// Does it.
pub fn check(check: &Check) -> Result<(), Failure> {
    let scene = match scene::load(&check.which) {
        Err(Failure::Faults { faults, sources }) if check.json => {
            let told = json!({ "format": CHECK_FORMAT, "faults": sources.plain(&faults) });
            crate::print(format!("{told:#}\n").as_bytes())?;
            return Err(Failure::Told);
        }
        scene => scene?,
    };
    let plan = &scene.plan;
    let inputs = decide::inputs(plan);
    let text = if check.json {
        let told = json!({
            "format": CHECK_FORMAT,
            "faults": [],
            "input_digest": scene.input_digest,
            "inputs": inputs,
            "cautions": plan.cautions,
            "remarks": plan.remarks,
        });
        format!("{told:#}\n")
    } else {
        let (width, color) = (terminal::width(), terminal::color());
        render::checked::checked(&plan.title, &inputs, &plan.cautions, &plan.remarks, width).printed(color)
    };
    crate::print(text.as_bytes())
}

/// Version of the shape of what `check --json` prints.
const CHECK_FORMAT: &str = "lampledger-check/1";
