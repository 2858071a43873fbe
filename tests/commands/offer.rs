//! `offer`: a touring bike from a damp cellar, and what else one may be offered.

use super::inspect::tourer_as_found;
use crate::support::workshop::{Output, Workshop};
use serde_json::Value;

/// What could be done to it. Common practice, no source: tyres and pads before
/// anybody rides it; the seat post, the bent ring and the dirt keep it from being
/// tidy; paint and better wheels cost more than buyers of such a bike give for them.
pub const JOBS: &str = "job,cost,hours,from_box,safety,clears,condition_after,tier_after\n\
    new tyres,34,0.75,no,yes,front tyre; rear tyre,3,\n\
    new brake pads,9,0.5,no,yes,front pads; rear pads,3,\n\
    free the seat post,4,1.5,no,no,seat post moves,4,\n\
    straighten the chainring,0,0.5,no,no,chainrings,4,\n\
    clean and polish,2,1,no,no,rust,4,\n\
    have the frame sprayed,120,6,no,no,paint,5,\n\
    wheels with better hubs,95,0.5,no,no,,,3\n\
    saddle from the box,12,0.25,yes,no,saddle cover,,\n";

pub const PARTS: &str = "part,price,chance\nwheels,35,60 %\nframe and fork,45,40 %\ncrankset,12,0.3\n\
    rack,15,50 %\nsaddle,10,50 %\nhandlebar and stem,12,30 %\n";

const TOURER: &str = "--style touring --made 2009 --condition project --tier 2 --seat-tube 21in";

pub fn cellar() -> Workshop {
    let workshop = Workshop::busy();
    workshop.file("jobs.csv", JOBS);
    workshop.file("parts.csv", PARTS);
    workshop.file("sheet.csv", tourer_as_found());
    workshop
}

pub fn offered(workshop: &Workshop, line: &str) -> Output {
    let line = format!("offer {TOURER} {line}");
    let words: Vec<&str> = line.split_whitespace().collect();
    workshop.run(&words)
}

fn json(workshop: &Workshop, line: &str) -> Value {
    offered(workshop, &format!("{line} --format json"))
        .done()
        .json()
}

#[test]
fn a_touring_bike_from_a_damp_cellar() {
    let line =
        "--jobs @jobs.csv --parts @parts.csv --sheet @sheet.csv --margin 40 --asking 10 --why";
    let output = offered(&cellar(), line).done();
    assert_eq!(output.err, "");
    insta::assert_snapshot!(output.out, @"
    touring, 2009, condition 2 project, tier 2 sport, 53.34 cm (M)

    Buy it for 10: you could pay up to 58.48 and still keep 40 on average, and up to 16.98 even if it sells badly (one sale in five brings less).

    Worth on 2026-05-02, with four sales in five in the range
      as found  about 110 EUR, 78 to 152
      done      about 240 EUR, 170 to 340 (all jobs: condition 5, tier 3)
    4 safety checks not passed (front tyre, front pads, rear tyre and rear pads): do not ride. It is a project, or for its parts.

    What each job adds, in EUR, with its 80 % range
      job                 cost hours  adds           range an hour
      new brake pads      9.00   0.5 32.95  29.28 to 36.70  +47.90  safety, and pays
      new tyres          34.00  0.75 32.95  29.28 to 36.70   -1.40  safety: done
                                                                    whether it pays
                                                                    or not
      straighten the      0.00   0.5  8.64   7.14 to 10.14  +17.28  pays: +15.13
      chainring
      clean and polish    2.00     1  8.64   7.14 to 10.14   +6.64  pays: +15.13
      free the seat       4.00   1.5  8.64   7.14 to 10.14   +3.09  pays: +15.13
      post
      have the frame    120.00     6 22.63  17.13 to 28.38  -16.23  does not pay:
      sprayed                                                       -98.77
      saddle from the      box  0.25  0.00    0.00 to 0.00   +0.00  changes nothing
      box                                                           (worth 12.00
                                                                    from the box)
      wheels with        95.00   0.5 16.05  12.89 to 19.26 -157.90  does not pay:
      better hubs                                                   -80.28
      A condition is reached when every safety job, and every job with that condition_after or a lower one, is done; a tier with any job that has it as its tier_after. What a job adds is counted in that order, safety first; jobs that reach a condition only together share it.
      Behind 'pays': what the best set with the job leaves more than the best one without it.

    The best set of jobs
      To do: new brake pads, new tyres, straighten the chainring, clean and polish and free the seat post; leave the rest. It takes 49.00 EUR and 4.25 hours.
      It brings 190.77 on average after 44 days; waiting costs 43.30 of that.
      What is left before the bike is paid for: 98.48.
      Ask 240; while it is unsold 225 from 16 May, 205 from 30 May, 180 from 20 June, 150 from 18 July. Accept 148 or more on the first day.

    The most to pay for a margin of 40, sold whole, in EUR
      58.48 on average; 16.98 if it sells badly (one sale in five brings less).
      Bought for 10.00: 88.48 left on average after what waiting costs. Chance of a loss 1 %; then about 10.76 is lost.

    Taken apart, in EUR
      6 parts bring 58.70 on average, against 98.48 whole; hours not counted.
      Whole it brings more.

    Cautions
      1. saddle from the box: without condition_after or tier_after nothing says what it is worth to a buyer; it counts as nothing.
      2. The uplifts say how much more bikes of a better grade bring, not what a repair has been seen to add: a bike that comes better has had better care in ways that no job makes up for. Where an uplift only just covers its cost, leave the job; compare your own bikes before and after.
      3. Repairs turn up more repairs: each job's cost is taken as a guess that may end a third higher or lower (judgement), which is in the chance of a loss.
      4. A bike that can be had cheaply is cheap for a reason that its seller may know and you do not. Look once more at frame, fork and bearings before you pay, and ask for the proof of purchase.
      5. The ask is 26 % above the value, where your own first asks stood about 9 % above it: your records do not show how buyers take that. It is best if waiting costs you as little as was said; if you would rather sell soon, give a higher --week-cost or fewer --weeks.
      6. A list of jobs is no safety check. When all is done, have brakes, steering, frame, fork and wheels checked by somebody competent before anybody rides it, and keep to your local rules on selling used bicycles.
    ");
}

#[test]
fn the_same_offer_for_a_program_has_the_fields_that_scripts_rely_on() {
    let line = "--jobs @jobs.csv --parts @parts.csv --sheet @sheet.csv --margin 40 --asking 10";
    let found = json(&cellar(), line);
    for (of, fields) in [
        ("/as_found", &["median", "low", "high", "level"][..]),
        ("/done", &["median", "low", "high", "level"]),
        (
            "/jobs/0",
            &["job", "cost", "hours", "uplift", "safety", "pays"],
        ),
        ("/jobs/0/uplift", &["median", "low", "high"]),
        (
            "/best",
            &["jobs", "cost", "hours", "expected_sale", "expected_days"],
        ),
        (
            "/most_to_pay",
            &["target_margin", "mean", "cautious", "quantile"],
        ),
        ("", &["chance_of_loss"]),
        ("/take_apart", &["expected", "better"]),
    ] {
        let part = found.pointer(of).unwrap();
        for field in fields {
            assert!(!part[field].is_null(), "{of}/{field} in {part}");
        }
    }
    // Mean of the best plan less its costs, the waiting and the margin, to a cent.
    let of = |pointer: &str| found.pointer(pointer).unwrap().as_f64().unwrap();
    let left = of("/best/expected_sale") - of("/best/waiting") - of("/best/cost") - 40.0;
    assert!((left - of("/most_to_pay/mean")).abs() < 0.011, "{left}");
    assert_eq!(of("/most_to_pay/quantile"), 0.2);
    assert_eq!(found["verdict"]["say"], "buy");
    assert_eq!(found["as_found"]["condition"], 2);
    assert_eq!(found["take_apart"]["better"], false);
    // 35 x .6 + 45 x .4 + 12 x .3 + 15 x .5 + 10 x .5 + 12 x .3.
    assert_eq!(of("/take_apart/expected"), 58.7);
}

#[test]
fn an_offer_is_about_the_bike_that_price_prices() {
    let workshop = cellar();
    let found = json(&workshop, "--jobs @jobs.csv");
    let price = |condition: &str, tier: &str| {
        let line = format!(
            "price --style touring --made 2009 --condition {condition} --tier {tier} --seat-tube 21in --format json"
        );
        let words: Vec<&str> = line.split(' ').collect();
        workshop.run(&words).done().json()["bikes"][0].clone()
    };
    let (before, after) = (price("2", "2"), price("5", "3"));
    let repaired = price("5", "2");
    for end in ["median", "low", "high"] {
        assert_eq!(found["as_found"][end], before["value"][end]);
    }
    // Repairs bring nine tenths of a better condition, and 0.35 of a better tier.
    let ln = |bike: &Value| bike["value"]["median"].as_f64().unwrap().ln();
    let (found_at, repaired_at, bought_so) = (ln(&before), ln(&repaired), ln(&after));
    let expected = found_at + 0.9 * (repaired_at - found_at) + 0.35 * (bought_so - repaired_at);
    let done = found["done"]["median"].as_f64().unwrap().ln();
    assert!((done - expected).abs() < 2e-4, "{done} {expected}");
    let sale = found["best"]["expected_sale"].as_f64().unwrap();
    let brings = |bike: &Value| bike["ask"]["expected_sale"].as_f64().unwrap();
    assert!(brings(&before) < sale && sale < brings(&repaired), "{sale}");
}

#[test]
fn the_order_of_the_rows_changes_nothing() {
    let workshop = cellar();
    let turned = |csv: &str| {
        let mut lines: Vec<&str> = csv.lines().collect();
        lines[1..].reverse();
        lines.join("\n")
    };
    let line = "--jobs @jobs.csv --parts @parts.csv --asking 60 --chart @a.svg";
    let one = offered(&workshop, line).done();
    let picture = workshop.text("a.svg");
    workshop.file("jobs.csv", turned(JOBS));
    workshop.file("parts.csv", turned(PARTS));
    assert_eq!(offered(&workshop, line).done(), one);
    assert_eq!(workshop.text("a.svg"), picture);
}

#[test]
fn the_sheet_alone_says_what_the_jobs_lead_to() {
    // No condition_after: the sheet is graded again with what the jobs clear.
    let workshop = cellar();
    let jobs = "job;cost;hours;clears\nnew tyres;34,00 €;0,75;front tyre, rear tyre\n\
        new pads;9;0,5;\"front pads; rear pads\"\nfree the post;4;1,5;seat post moves\n\
        chainring;0;0,5;chainrings\n";
    workshop.file("jobs.csv", jobs);
    let words = "offer --sheet @sheet.csv --made 2009 --jobs @jobs.csv --format json";
    let words: Vec<&str> = words.split(' ').collect();
    let found = workshop.run(&words).done().json();
    assert_eq!(found["bike"]["style"], "touring");
    assert_eq!(found["bike"]["size"], "M");
    let conditions = (
        &found["as_found"]["condition"],
        &found["done"]["condition"],
        &found["bike"]["tier"],
    );
    // What `inspect` says of the same sheet, as it is and once all is mended.
    let inspected = workshop
        .run(&["inspect", "@sheet.csv", "--format", "json"])
        .done()
        .json();
    assert_eq!(conditions.0, &inspected["condition"]);
    assert_eq!(conditions.1, &inspected["condition_when_mended"]);
    assert_eq!(conditions.2, &inspected["tier"]);
    let safety: Vec<bool> = found["jobs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|job| job["safety"].as_bool().unwrap())
        .collect();
    assert_eq!(safety, [true, true, false, false]);
    assert_eq!(found["left_open"], serde_json::json!([]));
}

#[test]
fn a_gate_that_no_job_clears_keeps_it_as_found() {
    let workshop = cellar();
    let pads: Vec<&str> = JOBS
        .lines()
        .filter(|l| !l.starts_with("new tyres"))
        .collect();
    workshop.file("jobs.csv", pads.join("\n"));
    let line = "--jobs @jobs.csv --sheet @sheet.csv --condition tidy";
    let line = format!("offer --style touring --tier 2 {line} --format json");
    let words: Vec<&str> = line.split(' ').collect();
    let found = workshop.run(&words).done().json();
    assert_eq!(
        found["left_open"],
        serde_json::json!(["front tyre", "rear tyre"])
    );
    // Neither the flag nor the list makes it better than a project.
    assert_eq!(found["as_found"]["condition"], 2);
    assert_eq!(found["done"]["condition"], 2);
    let text = workshop.run(&words[..words.len() - 2]).done().out;
    for said in [
        "Safety check not passed, and no job clears it: front tyre and rear tyre.",
        "Do not ride the bike until it is cleared",
        "As found it counts as 2 project, not 4 tidy",
    ] {
        assert!(text.contains(said), "'{said}' in\n{text}");
    }
    assert!(!text.to_lowercase().contains("ready to ride"), "{text}");
}

#[test]
fn safety_is_done_whatever_it_costs() {
    let workshop = cellar();
    let jobs = "job,cost,safety,condition_after\nnew fork,400,yes,3\npolish,1,no,4\n";
    workshop.file("jobs.csv", jobs);
    let found = json(&workshop, "--jobs @jobs.csv --asking 10");
    let named: Vec<&Value> = found["best"]["jobs"].as_array().unwrap().iter().collect();
    assert!(named.contains(&&"new fork".into()), "{named:?}");
    assert_eq!(found["jobs"][0]["pays"], false);
    assert_eq!(found["jobs"][0]["net_gain"], Value::Null);
    // It costs more than the bike will bring: nothing to pay, and never below 0.
    assert_eq!(found["most_to_pay"]["mean"], 0.0);
    assert_eq!(found["most_to_pay"]["cautious"], 0.0);
    assert_eq!(found["verdict"]["say"], "leave");
    let text = offered(&workshop, "--jobs @jobs.csv --asking 10 --why")
        .done()
        .out;
    assert!(text.contains("safety: done"), "{text}");
    assert!(
        text.contains("Leave it: even as a gift you would be 2"),
        "{text}"
    );
}

#[test]
fn a_frame_that_failed_is_parts_and_no_part_that_failed_is_sold() {
    let workshop = cellar();
    let sheet = tourer_as_found();
    let failed = |line: &str| {
        let mut cells: Vec<String> = line.split(',').map(String::from).collect();
        if cells[0] == "frame" || cells[0] == "stem" {
            let at = cells.iter().position(|cell| cell == "pass").unwrap();
            cells[at] = "fail".into();
        }
        cells.join(",")
    };
    let sheet: Vec<String> = sheet.lines().map(failed).collect();
    workshop.file("sheet.csv", sheet.join("\n"));
    let line = "--jobs @jobs.csv --parts @parts.csv --sheet @sheet.csv --asking 50 --margin 10";
    let found = json(&workshop, line);
    assert_eq!(found["as_found"]["condition"], 1);
    assert_eq!(found["take_apart"]["better"], true);
    let scrap: Vec<&str> = found["take_apart"]["parts"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|part| !part["scrap"].is_null())
        .map(|part| part["part"].as_str().unwrap())
        .collect();
    assert_eq!(scrap, ["frame and fork", "handlebar and stem"]);
    // 35 x .6 + 12 x .3 + 15 x .5 + 10 x .5 = 37.10, less the margin.
    assert_eq!(found["take_apart"]["expected"], 37.1);
    assert_eq!(found["take_apart"]["most_to_pay"]["mean"], 27.1);
    assert_eq!(found["verdict"]["say"], "leave");
    let text = offered(&workshop, &format!("{line} --why")).done().out;
    assert!(
        text.contains("The frame has failed and no job repairs it"),
        "{text}"
    );
    assert!(
        text.contains("Scrap, counted as nothing: frame and fork (frame not passed)"),
        "{text}"
    );
}

#[test]
fn up_to_the_mean_it_is_bought_and_above_there_is_an_offer_to_make() {
    let workshop = cellar();
    let limits = json(&workshop, "--jobs @jobs.csv --margin 40")["most_to_pay"].clone();
    let (mean, low) = (
        limits["mean"].as_f64().unwrap(),
        limits["cautious"].as_f64().unwrap(),
    );
    assert!(0.0 < low && low < mean, "{limits}");
    for (asking, say, words) in [
        (low, "buy", "even if it sells badly"),
        (f64::midpoint(low, mean), "buy", "If it sells badly"),
        (mean + 5.0, "leave", "offer up to"),
    ] {
        let asking = (asking * 100.0).floor() / 100.0;
        let line = format!("--jobs @jobs.csv --margin 40 --asking {asking:.2}");
        let found = json(&workshop, &line);
        assert_eq!(found["verdict"]["say"], say, "{asking}");
        let why = found["verdict"]["why"].as_str().unwrap();
        assert!(why.contains(words), "{why}");
        assert_eq!(found["risk"]["paid"], asking);
    }
    // A dearer bike is a likelier loss; who asks for more certainty may pay less.
    let chance = |asking: f64| json(&workshop, &format!("--jobs @jobs.csv --asking {asking:.0}"));
    let (cheap, dear) = (chance(20.0), chance(150.0));
    assert!(cheap["chance_of_loss"].as_f64() < dear["chance_of_loss"].as_f64());
    let surer = json(&workshop, "--jobs @jobs.csv --margin 40 --quantile 0.1");
    assert!(surer["most_to_pay"]["cautious"].as_f64().unwrap() < low);
    assert_eq!(surer["most_to_pay"]["mean"], mean);
}

#[test]
fn the_picture_goes_from_as_found_to_done() {
    let workshop = cellar();
    let output = offered(&workshop, "--jobs @jobs.csv --chart @offer.svg").done();
    assert_eq!(output.err, "Chart: @offer.svg\n");
    let svg = workshop.text("offer.svg");
    for words in [
        "as found",
        "new tyres (safety)",
        "done",
        "+",
        "A condition is reached",
    ] {
        assert!(svg.contains(words), "'{words}'");
    }
    let usage = offered(&workshop, "--chart @offer.png");
    usage.says(2, &["expected a name that ends in .svg"]);
}

#[test]
fn a_job_that_only_just_pays_is_told_apart() {
    let workshop = cellar();
    let jobs = |cost: f64| {
        let row = format!("better wheels,{cost:.2},,,5");
        workshop.file(
            "jobs.csv",
            format!("job,cost,hours,safety,tier_after\n{row}\n"),
        );
    };
    jobs(0.0);
    let gain = json(&workshop, "--jobs @jobs.csv")["jobs"][0]["net_gain"]
        .as_f64()
        .unwrap();
    assert!(gain > 5.0, "{gain}");
    for (left, said) in [
        (gain / 2.0, "  pays: +"),
        (1.0, "hardly pays: +1.00"),
        (-1.0, "does not pay: -1.00"),
    ] {
        jobs(gain - left);
        let text = offered(&workshop, "--jobs @jobs.csv --why").done().out;
        assert!(text.contains(said), "'{said}' in\n{text}");
        let hardly = text.contains("Hardly worth the trouble: better wheels.");
        assert_eq!(hardly, left == 1.0, "{text}");
    }
}
