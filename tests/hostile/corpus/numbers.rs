//! Odd forms of amounts, days, years, grades, lengths and hours.

use super::forms::{Form, others, refused, same};

pub fn money(now: &str) -> Vec<(String, Form)> {
    let comma = now.replace('.', ",");
    let mut forms: Vec<_> = same([
        comma.clone(),
        format!("{now} €"),
        format!("€ {comma}"),
        format!("EUR{now}"),
        format!("{comma} eur"),
        format!("+{now}"),
        format!("00{now}"),
        format!("{now}000"),
    ])
    .collect();
    forms.extend(others(&[
        ("1,234.50", "1234.50"),
        ("1.234,50", "1234.50"),
        ("1 234,50", "1234.50"),
        ("1\u{a0}234,50 €", "1234.50"),
        ("1\u{202f}234,50", "1234.50"),
        ("1\u{2009}234,50", "1234.50"),
        ("1'234.50", "1234.50"),
        ("1’234.50", "1234.50"),
        ("1,234", "1234.00"),
        ("1.234.567,8", "1234567.80"),
        (".5", "0.50"),
        ("120,-", "120.00"),
        ("7", "7.00"),
    ]));
    forms.extend(refused(&[
        "1.2.3",
        "1,2,3",
        "-5",
        "−5",
        "5-",
        "(5.00)",
        "5%",
        "$5",
        "5 USD",
        "£5",
        "0.001",
        "1234.567",
        "1,23,456",
        "1_000",
        "12 00 000",
        "1.000.00",
        "1,234.5,6",
        "5.",
        "1.234", // the other amounts of the files have a decimal point
        "twelve",
        "100-120",
        "5/2",
        "5 €/h",
        "1 23",
        "0,1234",
        "1e-2",
        "5 or 6",
        "'5",
        "12.345,678",
        "12:50",
        "5EURO",
        "€",
    ]));
    forms
}

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

pub fn days(now: &str) -> Vec<(String, Form)> {
    let parts: Vec<usize> = now.split('-').map(|part| part.parse().unwrap()).collect();
    let [year, month, day] = parts[..] else {
        panic!("{now}");
    };
    let name = MONTHS[month - 1];
    let mut forms: Vec<_> = same([
        format!("{year}{month:02}{day:02}"),
        format!("{year}/{month:02}/{day:02}"),
        format!("{year}.{month}.{day}"),
        format!("{year}-{month}-{day}"),
        format!("{now}T10:00:00Z"),
        format!("{now} 10:00"),
        format!("{now}T23:59:59.999+01:00"),
        format!("{now}T00:00:00"),
        format!("{day} {name} {year}"),
        format!("{name} {day}, {year}"),
        format!("{day:02}-{}-{year}", name.to_uppercase()),
    ])
    .collect();
    // Day and month by numbers: read only where they can be told apart.
    for text in [
        format!("{day:02}/{month:02}/{year}"),
        format!("{month:02}/{day:02}/{year}"),
        format!("{day}.{month}.{year}"),
        format!("{month:02}-{day:02}-{year}"),
    ] {
        let one_way = day > 12 || day == month;
        forms.push((text, if one_way { Form::Same } else { Form::Refused }));
    }
    forms.extend(refused(&[
        "2026-02-30",
        "2026-02-29",
        "0000-00-00",
        "9999-12-31",
        "1800-01-01",
        "1899-12-31",
        "2026-13-01",
        "2026-00-10",
        "2026-03-00",
        "2026-05-03",
        "03/04/2026",
        "3.4.2026",
        "04-03-2026",
        "46082",
        "46082.5",
        "2026-W10-1",
        "2026-060",
        "26-03-14",
        "04/03/26",
        "yesterday",
        "2026-03",
        "2026",
        "March 2026",
        "2026-03-14T25:61",
        "-2026-03-14",
        "2026-03-14-",
        "20260230",
        "2026-03-14 or so",
        "2026\u{2011}03\u{2011}14",
        "14. März 2026",
        "2026-03-1４",
        "٢٠٢٦-٠٣-١٤",
        "1772323200",
        "0",
        "2026-3-14-1",
        "14 03",
        "31/04/2026",
    ]));
    forms
}

pub fn years(now: &str) -> Vec<(String, Form)> {
    let mut forms: Vec<_> = others(&[
        ("2013.0", "2013"),
        ("2013,00", "2013"),
        ("2013..2013", "2013"),
        ("2010..2013", "2010..2013"),
        ("2010 - 2013", "2010..2013"),
        ("2010–2013", "2010..2013"),
        ("2010/11", "2010..2011"),
        ("2010/2011", "2010..2011"),
        ("~2012", "2010..2014"),
        ("c. 2015", "2013..2017"),
        ("90s", "1990..1999"),
        ("1990s", "1990..1999"),
        ("1890", "1890"),
        ("2027", "2027"),
    ])
    .collect();
    if !now.contains("..") {
        forms.extend(same([format!("{now}..{now}"), format!("{now}.0")]));
    }
    forms.extend(refused(&[
        "15",
        "'15",
        "2015.5",
        "20155",
        "0",
        "-2015",
        "MMXV",
        "2028",
        "1700",
        "2013..2010",
        "2010..",
        "..2013",
        "2010-11",
        "1900..2020",
        "2015/2017",
        "2015s",
        "c. 15",
        "2015-2016-2017",
        "0215",
        "２０１５",
        "2015 AD",
        "2,015",
    ]));
    forms
}

pub fn grades(now: &str, words: [&'static str; 5]) -> Vec<(String, Form)> {
    let word = words[now.parse::<usize>().unwrap() - 1];
    let mut forms: Vec<_> = same([
        format!("{now}.0"),
        format!("{now},0"),
        format!("0{now}"),
        word.to_string(),
        word.to_uppercase(),
    ])
    .collect();
    let values = (1..=5).map(|n| (words[n - 1].to_string(), Form::Other(n.to_string())));
    forms.extend(values);
    forms.extend(refused(&[
        "0", "6", "-1", "3.5", "4/5", "good", "４", "٤", "+4", "4%", "IV", "10", "3-4", "four",
        "44",
    ]));
    forms
}

pub fn tubes(now: &str) -> Vec<(String, Form)> {
    let number = now.strip_suffix("cm").unwrap();
    let mut forms: Vec<_> = same([
        format!("{number} cm"),
        format!("{number}CM"),
        number.to_string(),
        number.replace('.', ","),
    ])
    .collect();
    forms.extend(others(&[
        ("530mm", "53cm"),
        ("530", "53cm"),
        ("20in", "50.8cm"),
        ("20\"", "50.8cm"),
        ("20″", "50.8cm"),
        ("21", "53.34cm"),
        ("25cm", "25cm"),
        ("80cm", "80cm"),
        ("XL", "XL"),
        ("medium", "M"),
        ("Extra-small", "XS"),
        ("Size L", "L"),
    ]));
    forms.extend(refused(&[
        "53m",
        "5cm",
        "5300mm",
        "200",
        "0",
        "-53",
        "53ft",
        "53cm x",
        "20'",
        "53%",
        "24.9cm",
        "80.1cm",
        "M/L",
        "XXL",
        "53cm M",
        "700",
        "700C",
        "29er",
        "27.5",
        "28",
        "53-54",
        "5.3e1",
        "５３",
        "٥٣",
        "53cm/21in",
        "cm",
        "81",
        "53,5,5",
    ]));
    forms
}

pub fn hours(now: &str) -> Vec<(String, Form)> {
    let mut forms: Vec<_> = same([
        format!("{now}h"),
        format!("{now} H"),
        now.replace('.', ","),
        format!("0{now}"),
    ])
    .collect();
    forms.extend(others(&[("0", "0"), ("0.25", "0.25"), ("6,50", "6.5")]));
    forms.extend(refused(&[
        "-1", "−1", "4:30", "4h30", "٤", "half", "4.5.6", "+4", "1 000", "10001", "4 1/2",
        "4.5 min", ".", "4.", ".5.",
    ]));
    forms
}
