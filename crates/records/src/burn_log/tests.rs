//! What burn logs come to, and what is wrong with them.

use super::*;

/// Lives as (from, seen, gone), and the flaws in words.
fn read(text: &str) -> (Vec<(f64, f64, f64)>, String) {
    let mut lives = vec![];
    let read = burn_log(text.as_bytes(), 12.0, &mut |life| lives.push((life.from_h, life.seen_h, life.gone_h)));
    match read {
        Ok(read) => {
            assert_eq!(read.lives, lives.len() as u64);
            (lives, String::new())
        }
        Err(flaws) => (lives, flaws.to_string()),
    }
}

const NEVER: f64 = f64::INFINITY;

#[test]
fn every_kind_of_row_becomes_a_life() {
    let head = "socket,in,out,reason,from_h,alive_h,burn_h,note\n";
    for (row, life) in [
        ("1,,,failed,,,6100,", (0.0, 6100.0, 6100.0)),
        ("1,,,F,,,6100,", (0.0, 6100.0, 6100.0)),
        ("1,,,b,,,9900,", (0.0, 9900.0, NEVER)),
        ("1,,,R,,,9900,", (0.0, 9900.0, NEVER)),
        ("1,,,x,,,3100,", (0.0, 3100.0, NEVER)),
        ("1,,,Failed,,,~6000,", (0.0, 5400.0, 6600.0)),
        ("1,,,failed,,5900,6100,", (0.0, 5900.0, 6100.0)),
        ("1,,,failed,,~5000,6100,", (0.0, 4500.0, 6100.0)),
        ("1,,,burning,,,9900,", (0.0, 9900.0, NEVER)),
        ("1,,,removed,,,~9900,taken down with the row", (0.0, 8910.0, NEVER)),
        ("1,,,broken,,,3100,by the lift", (0.0, 3100.0, NEVER)),
        ("1,,,burning,,7000,,", (0.0, 7000.0, NEVER)),
        ("1,,,failed,2000,,6100,", (2000.0, 6100.0, 6100.0)),
        ("1,2031-01-01,2031-01-11,failed,,,,", (0.0, 108.0, 132.0)),
        ("1,2031-01-01,2031-01-11,failed,500,,,", (500.0, 608.0, 632.0)),
        ("1,2031-01-01,2031-01-11,failed,,120,,", (0.0, 120.0, 132.0)),
        ("1,2031-01,2031-03,burning,,,,", (0.0, 12.0 * 28.0, NEVER)),
        ("1,2031-01-01,2031-01-01,failed,,,,", (0.0, 0.0, 12.0)),
    ] {
        assert_eq!(read(&format!("{head}{row}\n")), (vec![life], String::new()), "{row}");
    }
}

#[test]
fn rows_that_are_not_filled_in_are_counted() {
    let log = "socket,in,reason,burn_h\n1,2031-01-01,,\n2,2031-01-01,burning,500\n3,,,\n";
    let read = burn_log(log.as_bytes(), 12.0, &mut |_| {}).unwrap();
    assert_eq!(read, BurnLogRead { lives: 1, blank: 2 });
}

#[test]
fn what_contradicts_itself_is_named_all_at_once() {
    let log = "socket,in,out,reason,from_h,alive_h,burn_h\n\
               1,,,failed,,6200,6100\n\
               2,,,burning,7000,,6100\n\
               3,2032-01-01,2031-01-01,removed,,,\n\
               4,,,died,,,6100\n\
               5,,,,,,6100\n\
               6,,,failed,,900,\n\
               7,2031-01-01,2031-02-01,failed,,,6100\n\
               8,soon,,burning,,,many\n\
               9,,,failed,2000,1000,3000\n\
               ,,,burning,,,1000\n";
    let (lives, flaws) = read(log);
    assert!(lives.is_empty(), "{lives:?}");
    assert_eq!(
        flaws.lines().collect::<Vec<_>>(),
        [
            "line 2, column \"alive_h\": 6200 h, and 6100 h when it was last seen; allowed: no more than `burn_h`",
            "line 3, column \"from_h\": 7000 h, and 6100 h when it was last seen; allowed: no more than the hours that follow",
            "line 4, column \"out\": 2031-01-01, and it came in on 2032-01-01; allowed: a day that is not before `in`",
            "line 5, column \"reason\": \"died\"; allowed: failed (F), burning (B), removed (R, taken out alive) or broken (X, by \
             accident)",
            "line 6, column \"reason\": nothing, beside hours or a day of coming out; allowed: failed (F), burning (B), removed (R, \
             taken out alive) or broken (X, by accident)",
            "line 7, column \"burn_h\": nothing, and the lamp failed; allowed: burn hours here, or days in `in` and `out`",
            "line 8, column \"burn_h\": 6100 h; allowed: at most 768 h: the days from `in` to `out` have no more",
            "line 9, column \"burn_h\": \"many\", which is no number with a decimal point; allowed: 0 to 1000000 h",
            "line 9, column \"in\": \"soon\", which is no day; allowed: a day such as 2031-02-14, 2031-02 or ~2031-02",
            "line 10, column \"alive_h\": 1000 h, and 2000 h before it; allowed: no less than `from_h`",
            "line 11, column \"socket\": nothing; allowed: the name of the socket",
        ]
    );
}

#[test]
fn a_socket_holds_one_lamp_at_a_time() {
    let head = "socket,row,in,out,reason,burn_h\n";
    let fine = [
        "1,,2031-01-01,2031-06-01,failed,900\n1,,2031-06-01,,burning,500\n",
        "1,a,2031-01-01,,burning,900\n1,b,2031-02-01,,burning,500\n",
        "1,,,,failed,900\n1,,,,burning,500\n",
        "1,,2031-01,2031-06,failed,900\n1,,2031-06-20,,burning,500\n",
    ];
    for rows in fine {
        assert_eq!(read(&format!("{head}{rows}")).1, "", "{rows}");
    }
    for rows in [
        "1,,2031-01-01,2031-06-01,failed,900\n1,,2031-05-01,,burning,500\n",
        "1,,2031-05-01,,burning,500\n1,,2031-01-01,2031-06-01,failed,900\n",
        "1,,2031-01-01,,burning,500\n1,,2031-05-01,2031-06-01,failed,100\n",
        "1,,,,burning,500\n1,,,,burning,900\n",
    ] {
        assert_eq!(
            read(&format!("{head}{rows}")).1,
            "line 3, column \"socket\": \"1\", in which the lamp of line 2 hangs at the same time; allowed: one lamp in a \
             socket at a time",
            "{rows}"
        );
    }
}
