//! What a reader needs beside a run: further questions, asked of the same scenario with the same seed.
//!
//! Belongs here: which questions, and how many futures they get. Does not belong here: how they are answered.

use std::sync::atomic::{AtomicBool, Ordering};

use decide::World;
use decide::bill::{BillOrder, bills};
use decide::breakeven::{BreakevenOrder, breakeven};
use decide::breakeven_report::Measure;
use decide::cash::{CashOrder, Shown, cash};
use decide::cash_report::Lives;
use decide::hinge::hinge;
use decide::map::{MapOrder, map};
use decide::rank::{RankOrder, rank};
use decide::rank_report::Material;
use decide::relamp::{RelampOrder, relamp};
use decide::result::RunResult;
use decide::workbook::{WorkbookOrder, WorkbookOrigin, workbook};
use render::answer::Answer;

use crate::args::For;
use crate::failure::Failure;
use crate::run::Run;
use crate::scene::Scene;
use crate::{bill, terminal};

const PROGRAM: &str = env!("CARGO_PKG_VERSION");
/// Most futures of a question that looks at each of them at many values.
const FEW: u64 = 500;
/// Cells of a map in each direction.
const STEPS: usize = 24;

/// The answers that a reader needs beside a run, in the order of the page. A question that the scenario does not allow is
/// left out, and said; so is everything after an interruption.
///
/// # Errors
/// A scenario that cannot be billed.
pub fn further(
    run: &Run,
    scene: &Scene,
    result: &RunResult,
    stop: &AtomicBool,
) -> Result<Vec<Box<dyn Answer>>, Failure> {
    let asker = Asker { run, scene, result, stop };
    let mut answers: Vec<Box<dyn Answer>> = vec![];
    let mut add = |what: &str, answer: Result<Option<Box<dyn Answer>>, Failure>| -> Result<(), Failure> {
        match answer {
            Ok(Some(answer)) => answers.push(answer),
            Ok(None) => {}
            Err(Failure::WrongUse(why)) => terminal::tell(&format!("note: {what} is left out: {why}\n")),
            Err(failure) => return Err(failure),
        }
        Ok(())
    };
    match run.answer.reader {
        For::Everyone => {}
        For::Tester => {
            add("the ranking", asker.rank())?;
            add("where options tie", asker.breakeven())?;
        }
        For::Facility => {
            add("cash", asker.cash())?;
            add("when to relamp", asker.relamp())?;
        }
        For::Owner => {
            add("where options tie", asker.breakeven())?;
            add("the ranking", asker.rank())?;
            add("who wins where", asker.map())?;
        }
        For::Accountant => {
            add("the bill", asker.bill())?;
            add("cash", asker.cash())?;
            add("the workbook", asker.workbook())?;
        }
    }
    Ok(answers)
}

struct Asker<'a> {
    run: &'a Run,
    scene: &'a Scene,
    result: &'a RunResult,
    stop: &'a AtomicBool,
}

type Asked = Result<Option<Box<dyn Answer>>, Failure>;

fn boxed(answer: impl Answer + 'static) -> Option<Box<dyn Answer>> {
    Some(Box::new(answer))
}

impl Asker<'_> {
    fn world(&self, most: u64) -> World<'_> {
        let settings = self.run.luck.settings(self.result.method.trials.min(most));
        World { form: &self.scene.form, plan: &self.scene.plan, settings, stop: self.stop }
    }

    fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    fn rank(&self) -> Asked {
        if self.stopped() || self.scene.plan.options.len() < 2 || self.result.method.trials < 16 {
            return Ok(None);
        }
        let contracts = (0..self.scene.plan.contracts.len()).collect();
        let order = RankOrder { contracts, material: Material::Share(0.0), futures: vec![], rooms: 1 };
        let report = rank(&self.world(10_000), &order, PROGRAM, &mut |_| {}).map_err(Failure::WrongUse)?;
        Ok(boxed(report))
    }

    fn breakeven(&self) -> Asked {
        let Some(hinge) = hinge(&self.scene.plan, self.result).filter(|_| !self.stopped() && self.enough()) else {
            return Ok(None);
        };
        let order = BreakevenOrder {
            a: hinge.option,
            b: hinge.against,
            contracts: (0..self.scene.plan.contracts.len()).collect(),
            inputs: vec![(hinge.pointer, None, None)],
            measure: Measure::Mole,
        };
        let report = breakeven(&self.world(FEW), &order, PROGRAM, &mut |_| {}).map_err(Failure::WrongUse)?;
        Ok(boxed(report))
    }

    fn map(&self) -> Asked {
        let Some(hinge) = hinge(&self.scene.plan, self.result).filter(|_| !self.stopped() && self.enough()) else {
            return Ok(None);
        };
        let order = MapOrder {
            options: (0..self.scene.plan.options.len()).collect(),
            contract: 0,
            x: ("electricity".into(), None, None),
            y: (hinge.pointer, None, None),
            steps: Some(STEPS),
            measure: Measure::Mole,
        };
        let report = map(&self.world(FEW), &order, PROGRAM, &mut |_| {}).map_err(Failure::WrongUse)?;
        Ok(boxed(report))
    }

    /// Whether the run has the futures that these questions need.
    fn enough(&self) -> bool {
        self.result.method.trials >= 16
    }

    fn cash(&self) -> Asked {
        if self.stopped() || !self.enough() {
            return Ok(None);
        }
        let order =
            CashOrder { contract: 0, reference: 0, shown: Shown::AsWritten, inflation: None, lives: Lives::Horizon };
        let settings = self.run.luck.settings(self.result.method.trials.min(4_000));
        let report =
            cash(&self.scene.plan, &order, &settings, PROGRAM, self.stop, &mut |_| {}).map_err(Failure::WrongUse)?;
        Ok(boxed(report))
    }

    fn workbook(&self) -> Asked {
        if self.stopped() || !self.enough() {
            return Ok(None);
        }
        let origin = WorkbookOrigin {
            program: PROGRAM.into(),
            input_digest: self.scene.input_digest.clone(),
            what_ifs: self.scene.what_ifs.clone(),
        };
        let order = WorkbookOrder { contract: 0, reference: 0 };
        let settings = self.run.luck.settings(self.result.method.trials.min(4_000));
        let report = workbook(&self.scene.plan, &order, &settings, origin, self.stop, &mut |_| {});
        Ok(boxed(report.map_err(Failure::WrongUse)?))
    }

    fn relamp(&self) -> Asked {
        let plan = &self.scene.plan;
        if self.stopped() || !self.enough() {
            return Ok(None);
        }
        let order = RelampOrder {
            options: vec![],
            contract: 0,
            flat_within: 0.01,
            crew_day: None,
            exact: false,
            settings: self.run.luck.settings(self.result.method.trials.min(FEW)),
        };
        let report = relamp(plan, &order, PROGRAM, self.stop, |_| {});
        Ok(if report.options.is_empty() { None } else { boxed(report) })
    }

    /// The first year under every contract, for the option that is cheapest under the first one.
    fn bill(&self) -> Asked {
        if self.stopped() {
            return Ok(None);
        }
        let scene = bill::load(&self.run.which, &[], Some(12))?;
        let cheapest = self.result.contracts.first().and_then(|contract| contract.ranking.order.first().copied());
        let order = BillOrder { option: cheapest.unwrap_or(0), months: 12.min(scene.plan.months()), rooms: vec![] };
        Ok(boxed(bills(&scene.plan, &order, PROGRAM).map_err(Failure::WrongUse)?))
    }
}
