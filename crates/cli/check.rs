//! `check`: every fault at once, or what the scenario rests on.

use clap::Args;
use decide::check_report::CheckReport;

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
            let told = CheckReport::of_faults(sources.plain(&faults));
            crate::print(render::json::pretty(&told).as_bytes())?;
            return Err(Failure::Told);
        }
        scene => scene?,
    };
    let plan = &scene.plan;
    let text = if check.json {
        render::json::pretty(&CheckReport::of_plan(plan, &scene.input_digest))
    } else {
        let (width, color) = (terminal::width(), terminal::color());
        let inputs = decide::inputs(plan);
        render::checked::checked(&plan.title, &inputs, &plan.cautions, &plan.remarks, width).printed(color)
    };
    crate::print(text.as_bytes())
}
