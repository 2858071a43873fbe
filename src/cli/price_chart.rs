//! The picture of `price --chart`.

use super::failure::Failure;
use crate::pricing::curve::{self, SeenComp};
use crate::pricing::quote::Quote;
use crate::pricing::value::FittedValue;
use crate::report::value_chart::{self, ValueChart};
use crate::trade::Sale;
use std::io::{Read as _, Write};
use std::path::Path;

/// Draws it and says where it is.
pub fn write(
    path: &Path,
    model: &FittedValue,
    quote: &Quote,
    comps: &[SeenComp],
    sales: &[Sale],
    err: &mut dyn Write,
) -> Result<(), Failure> {
    let (bike, level, as_of) = (
        &quote.question.bike,
        quote.question.level,
        model.coding.as_of,
    );
    let sales = curve::sales_of_style(sales, bike.style, as_of, &model.currency);
    let age = bike.age(as_of);
    let oldest = comps
        .iter()
        .map(|c| c.age)
        .chain(sales.iter().map(|s| s.0))
        .chain(age)
        .fold(10.0, f64::max);
    let oldest = (oldest / 5.0).ceil() * 5.0;
    let known = |name: &str, grade: Option<u8>| {
        grade.map_or(format!("{name} unknown"), |g| format!("{name} {g}"))
    };
    let title = [
        bike.style.to_string(),
        known("condition", bike.condition.map(|c| c.grade())),
        known("tier", bike.tier.map(|t| t.grade())),
        bike.size()
            .map_or("size unknown".into(), |s| format!("size {s}")),
    ];
    let chart = ValueChart {
        title: format!("{}: value by age on {as_of}", title.join(", ")),
        currency: model.currency.code().to_string(),
        curve: curve::value_by_age(model, bike, oldest, level),
        sales,
        comps: comps.iter().map(|c| (c.age, c.price, c.outcome)).collect(),
        here: age.map(|age| {
            let (low, median, high) = curve::at_age(model, bike, age, level);
            (age, low, median, high)
        }),
        level,
    };
    let cannot = |e: String| {
        Failure::refused(
            format!("{}: cannot be written: {e}", path.display()),
            "Name another file for --chart.",
        )
    };
    let svg = value_chart::draw(&chart).map_err(cannot)?;
    let mut part = path.as_os_str().to_owned();
    part.push(".part");
    let written = std::fs::write(&part, svg).and_then(|()| std::fs::rename(&part, path));
    if let Err(error) = written {
        let _ = std::fs::remove_file(&part);
        return Err(cannot(error.to_string()));
    }
    writeln!(err, "Chart: {}", path.display())?;
    Ok(())
}

/// Refuses a name under which something other than a picture would be lost.
pub fn check_name(path: &Path) -> Result<(), Failure> {
    let is_svg = path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("svg"));
    if !is_svg {
        return Err(Failure::usage(
            format!(
                "--chart '{}': expected a name that ends in .svg",
                path.display()
            ),
            "The picture is an SVG: name it so, for example --chart value.svg.",
        ));
    }
    let mut start = [0_u8; 5];
    let there = std::fs::File::open(path).and_then(|mut file| file.read(&mut start));
    match there {
        Ok(read) if !matches!(&start[..read], b"" | b"<svg " | b"<?xml") => Err(Failure::refused(
            format!("{}: is there already and is no picture", path.display()),
            "Name another file for --chart, so that nothing is lost.",
        )),
        _ => Ok(()),
    }
}
