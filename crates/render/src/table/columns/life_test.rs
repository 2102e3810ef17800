//! Columns of the tables of `test`.

use super::Table;
use crate::table::{TEST, TEST_STOP};

pub(super) const TABLES: &[Table] = &[
    (
        TEST,
        &[
            ("tested", "Option whose lamps are tested."),
            ("options", "Options among which is chosen afterwards."),
            ("contract", "Name of the contract."),
            ("prices_of", "Month of the price level."),
            ("rooms", "Rooms that are chosen after the test."),
            ("trials", "Trials that were lived: truths that may hold."),
            ("simulated_tests", "Tests that were simulated for each design."),
            (
                "place",
                "\"bench\", or \"sockets\" of a production room; after the designs on a bench, the best of them in sockets.",
            ),
            ("lamps", "Lamps on test."),
            ("burn_h", "Burn hours until the end."),
            ("looks", "Looks at the lamps, the last one at the end."),
            ("duration_d", "Days until the answer."),
            (
                "electricity_{currency}_per_kwh",
                "Price of the bench's electricity; 0 in sockets, where it is bought anyway.",
            ),
            ("lamps_{currency}", "Lamps; in sockets what they cost more than those that would hang there."),
            ("electricity_{currency}", "Electricity of the bench if no lamp dies."),
            ("labour_{currency}", "Setting up and looks."),
            ("cost_{currency}", "All of the three."),
            (
                "worth_{basis}_{currency}_per_room",
                "What the choice after the test saves on average over today's choice, present value of one room.",
            ),
            ("worth_{basis}_{currency}_per_room_se", "Standard error of that."),
            (
                "known_{basis}_{currency}_per_room",
                "What knowing the lamp's life exactly would be worth: no test is worth more.",
            ),
            ("known_{basis}_{currency}_per_room_se", "Standard error of that."),
            ("left_{basis}_{currency}", "Worth for all rooms less cost."),
            ("left_{basis}_{currency}_se", "Standard error of that."),
            (
                "pays_from_rooms",
                "Rooms from which it pays; empty where its worth is not clear of noise or no number of rooms will do.",
            ),
            ("changes_choice", "Share of simulated tests that change the choice, 1 = always."),
            ("nothing_changes_choice", "\"yes\" if nothing that could be seen would change the choice."),
            ("is_best", "\"yes\" for the design to look at."),
        ],
    ),
    (
        TEST_STOP,
        &[
            ("tested", "Option whose lamps are tested."),
            ("contract", "Name of the contract."),
            ("rooms", "Rooms for which the rule holds."),
            ("lamps", "Lamps on test."),
            ("burn_h", "Burn hours until the end of the test."),
            ("check_h", "Burn hours at the check-point."),
            ("dead_lamps", "Lamps that are dead by then."),
            ("chance", "Chance of being there without having stopped before, 1 = certain."),
            (
                "going_on_worth_{basis}_{currency}",
                "What the better choice at the end of the test would be worth, all rooms; 0 at the end.",
            ),
            ("going_on_cost_{currency}", "Electricity and looks from there to the end."),
            ("advice", "\"choose\", \"go_on\" or \"cannot_be\"."),
            ("choose", "Option to choose; only where the advice is to choose."),
        ],
    ),
];
