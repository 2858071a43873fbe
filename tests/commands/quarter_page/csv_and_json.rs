//! The report as CSV and as JSON.

use super::made_up::{self, currency};
use serde_json::{Value, json};
use wheelworth::accounts::QuarterReport;
use wheelworth::report::quarter::audience::Audience;
use wheelworth::report::quarter::{json, lines_csv};

#[test]
fn a_row_for_each_line() {
    let csv = lines_csv::render(&made_up::rich(), Audience::Whole, &currency("EUR"));
    insta::assert_snapshot!(csv, @r#"
    line,on,bike,beneficiary,reference,what,sold_price,direct_cost,margin,hours,due,given,balance
    opening,,,,,,,,,,,,8.00
    sale,2026-04-11,B-7,,,"hybrid from 2016, size M",150.00,31.37,118.63,4.25,23.45,,
    sale,2026-05-02,"'=HYPERLINK(""x"")<script>alert('1')</script> & an id that goes on and on and on",,,"hybrid from 2016, size M",90.00,101.13,-11.13,,0.00,,
    sale,2026-06-30,B-9,,,kids,40.00,0.00,40.00,1.5,7.91,,
    workshop_cost,2026-04-18,,,,supply: =grease & <b>cloths</b>,,18.23,,,,,
    workshop_cost,2026-06-01,,,,supply,,7.46,,,,,
    from_box,2026-04-02,B-7,,,"part: inner tube, worth 6.66",,,,,,,
    correction,,B-3,,,"2026-Q1: sale price 95.00, was 100.00; cost 23.34, was 20.11",,,-8.23,,,,
    correction,,B-4,,,"2026-Q1: sale taken out of the records, price 60.00; cost 17.29",,,-42.71,,,,
    correction,,,,,"2026-Q1: the workshop's costs 15.19, were 12.17",,,-3.02,,,,
    brought_forward,,,,,,,,,,,,5.13
    carried_forward,,,,,,,,,,,,0.00
    due,,,,,,,,,,31.36,,
    gift,2026-03-09,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",T-107,taken out of the records: a gift of 2026-Q1,,,,,,-20.00,
    gift,2026-06-20,,Ferry Lane Reading Room,T-113,,,,,,,300.00,
    gift,2026-06-21,,'@Footpath Fund,,,,,,,,10.00,
    given,,,,,,,,,,,290.00,
    closing,,,,,,,,,,,,-250.64
    opening,,,Ferry Lane Reading Room,,,,,,,,,12.00
    due,,,Ferry Lane Reading Room,,,,,,,21.95,,
    given,,,Ferry Lane Reading Room,,,,,,,,300.00,
    closing,,,Ferry Lane Reading Room,,,,,,,,,-266.05
    opening,,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",,,,,,,,,-4.00
    due,,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",,,,,,,9.41,,
    given,,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",,,,,,,,-20.00,
    closing,,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",,,,,,,,,25.41
    opening,,,'@Footpath Fund,,,,,,,,,0.00
    due,,,'@Footpath Fund,,,,,,,0.00,,
    given,,,'@Footpath Fund,,,,,,,,10.00,
    closing,,,'@Footpath Fund,,,,,,,,,-10.00
    "#);
}

#[test]
fn rows_for_the_beneficiary() {
    let csv = lines_csv::render(&made_up::rich(), Audience::Beneficiary, &currency("EUR"));
    insta::assert_snapshot!(csv, @r#"
    line,on,bike,beneficiary,reference,what,sold_price,due,given,balance
    opening,,,,,,,,,8.00
    sale,2026-04-11,B-7,,,"hybrid from 2016, size M",150.00,,,
    sale,2026-05-02,"'=HYPERLINK(""x"")<script>alert('1')</script> & an id that goes on and on and on",,,"hybrid from 2016, size M",90.00,,,
    sale,2026-06-30,B-9,,,kids,40.00,,,
    correction,,B-3,,,"2026-Q1: sale price 95.00, was 100.00",,,,
    correction,,B-4,,,"2026-Q1: sale taken out of the records, price 60.00",,,,
    brought_forward,,,,,,,,,5.13
    carried_forward,,,,,,,,,0.00
    due,,,,,,,31.36,,
    gift,2026-03-09,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",T-107,taken out of the records: a gift of 2026-Q1,,,-20.00,
    gift,2026-06-20,,Ferry Lane Reading Room,T-113,,,,300.00,
    gift,2026-06-21,,'@Footpath Fund,,,,,10.00,
    given,,,,,,,,290.00,
    closing,,,,,,,,,-250.64
    opening,,,Ferry Lane Reading Room,,,,,,12.00
    due,,,Ferry Lane Reading Room,,,,21.95,,
    given,,,Ferry Lane Reading Room,,,,,300.00,
    closing,,,Ferry Lane Reading Room,,,,,,-266.05
    opening,,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",,,,,,-4.00
    due,,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",,,,9.41,,
    given,,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",,,,,-20.00,
    closing,,,"The ""Upper Mill"" Tool Library & Repair Evening of the Five Parishes Beyond the River",,,,,,25.41
    opening,,,'@Footpath Fund,,,,,,0.00
    due,,,'@Footpath Fund,,,,0.00,,
    given,,,'@Footpath Fund,,,,,10.00,
    closing,,,'@Footpath Fund,,,,,,-10.00
    "#);
}

#[test]
fn json_of_the_whole() {
    let json = json::render(&made_up::rich(), Audience::Whole, &currency("EUR")).unwrap();
    insta::assert_snapshot!(json, @r#"
    {
      "quarter": "2026-Q2",
      "from": "2026-04-01",
      "to": "2026-06-30",
      "currency": "EUR",
      "rule": {
        "give": "net",
        "share": 50
      },
      "sales": [
        {
          "bike": "B-7",
          "sold_on": "2026-04-11",
          "sold_price": 150.0,
          "direct_cost": 31.37,
          "margin": 118.63,
          "hours": 4.25,
          "due": 23.45
        },
        {
          "bike": "=HYPERLINK(\"x\")<script>alert('1')</script> & an id that goes on and on and on",
          "sold_on": "2026-05-02",
          "sold_price": 90.0,
          "direct_cost": 101.13,
          "margin": -11.13,
          "hours": null,
          "due": 0.0
        },
        {
          "bike": "B-9",
          "sold_on": "2026-06-30",
          "sold_price": 40.0,
          "direct_cost": 0.0,
          "margin": 40.0,
          "hours": 1.5,
          "due": 7.91
        }
      ],
      "returns": [],
      "left": [],
      "workshop_costs": 25.69,
      "brought_forward": 5.13,
      "due": 31.36,
      "carried_forward": 0.0,
      "gifts": [
        {
          "on": "2026-03-09",
          "beneficiary": "The \"Upper Mill\" Tool Library & Repair Evening of the Five Parishes Beyond the River",
          "amount": -20.0,
          "reference": "T-107",
          "of": "2026-Q1"
        },
        {
          "on": "2026-06-20",
          "beneficiary": "Ferry Lane Reading Room",
          "amount": 300.0,
          "reference": "T-113"
        },
        {
          "on": "2026-06-21",
          "beneficiary": "@Footpath Fund",
          "amount": 10.0,
          "reference": null
        }
      ],
      "opening": 8.0,
      "given": 290.0,
      "closing": -250.64,
      "beneficiaries": [
        {
          "name": "Ferry Lane Reading Room",
          "opening": 12.0,
          "due": 21.95,
          "given": 300.0,
          "closing": -266.05
        },
        {
          "name": "The \"Upper Mill\" Tool Library & Repair Evening of the Five Parishes Beyond the River",
          "opening": -4.0,
          "due": 9.41,
          "given": -20.0,
          "closing": 25.41
        },
        {
          "name": "@Footpath Fund",
          "opening": 0.0,
          "due": 0.0,
          "given": 10.0,
          "closing": -10.0
        }
      ],
      "means": [],
      "as_of": "2026-07-04",
      "closed_on": null,
      "from_box": [
        {
          "bike": "B-7",
          "on": "2026-04-02",
          "kind": "part",
          "item": "inner tube",
          "amount": 6.66
        }
      ],
      "corrections": [
        {
          "of": "2026-Q1",
          "bike": "B-3",
          "what": "sale price 95.00, was 100.00; cost 23.34, was 20.11",
          "amount": -8.23
        },
        {
          "of": "2026-Q1",
          "bike": "B-4",
          "what": "sale taken out of the records, price 60.00; cost 17.29",
          "amount": -42.71
        },
        {
          "of": "2026-Q1",
          "bike": null,
          "what": "the workshop's costs 15.19, were 12.17",
          "amount": -3.02
        }
      ],
      "cautions": [
        {
          "code": "replaced",
          "text": "B-7: the costs add up to 10.44 EUR where the sales say 9.19 EUR (parts). The costs count; if some are missing, record them."
        },
        {
          "code": "no_purchase",
          "text": "No purchase cost is known of B-9: it counts as 0. If there was one, record it with 'record cost --kind purchase'."
        },
        {
          "code": "no_hours",
          "text": "No hours are known of =HYPERLINK(\"x\")<script>alert('1')</script> & an id that goes on and on and on: nothing says what an hour of them earned."
        },
        {
          "code": "corrected",
          "text": "Records of 2026-Q1 changed after it was closed. Its report stands as it was, and the difference is counted in this quarter."
        },
        {
          "code": "not_named",
          "text": "@Footpath Fund is no beneficiary of the book, so nothing is due there."
        },
        {
          "code": "given_ahead",
          "text": "266.05 EUR more was handed over than was due to Ferry Lane Reading Room: it is given ahead and counts towards what is due next."
        },
        {
          "code": "large_gift",
          "text": "The gift of 300.00 EUR to Ferry Lane Reading Room on 20 June 2026 is a single one of 250 or more."
        },
        {
          "code": "not_advice",
          "text": "These are records, not tax or legal advice. Who buys a bike has bought a bike and made no gift. A sold bike is ridden: this report is no safety check."
        }
      ]
    }
    "#);
}

/// The fields of the whole, less those that tell of costs.
#[test]
fn json_for_the_beneficiary() {
    let json = |report: &QuarterReport, audience| -> Value {
        let text = json::render(report, audience, &currency("EUR")).unwrap();
        serde_json::from_str(&text).unwrap()
    };
    let report = made_up::rich();
    let (mut whole, shown) = (
        json(&report, Audience::Whole),
        json(&report, Audience::Beneficiary),
    );
    assert_eq!(whole, json(&report, Audience::Workshop));
    let fields = whole.as_object_mut().unwrap();
    fields.remove("workshop_costs");
    fields.remove("from_box");
    fields.remove("left");
    for sale in fields["sales"].as_array_mut().unwrap() {
        let sale = sale.as_object_mut().unwrap();
        for private in ["direct_cost", "margin", "hours"] {
            sale.remove(private).unwrap();
        }
        // A part of what is left would tell the margin.
        sale["due"] = Value::Null;
    }
    fields["corrections"] = json!([
        {"of": "2026-Q1", "bike": "B-3", "what": "sale price 95.00, was 100.00", "amount": null},
        {"of": "2026-Q1", "bike": "B-4", "what": "sale taken out of the records, price 60.00", "amount": null},
    ]);
    let for_all = ["corrected", "given_ahead", "large_gift", "not_advice"];
    let cautions = fields["cautions"].as_array_mut().unwrap();
    cautions.retain(|caution| for_all.iter().any(|code| caution["code"] == *code));
    assert_eq!(cautions.len(), for_all.len());
    assert_eq!(whole, shown);
    // A part of the sale prices tells nothing that is not there already.
    let shown = json(&made_up::by_price(), Audience::Beneficiary);
    assert_eq!(shown["sales"][0]["due"], 115.18);
    assert_eq!(shown["corrections"][0]["amount"], -5.0);
}

#[test]
fn amounts_have_the_decimals_of_the_currency() {
    for (code, units) in [("JPY", 15000.0), ("EUR", 150.0), ("KWD", 15.0)] {
        let text = json::render(&made_up::rich(), Audience::Whole, &currency(code));
        let answer: Value = serde_json::from_str(&text.unwrap()).unwrap();
        assert_eq!(answer["sales"][0]["sold_price"], units, "{code}");
        assert_eq!(answer["currency"], code);
    }
    let mut report = made_up::empty();
    report.giving.share = 3333;
    let text = json::render(&report, Audience::Whole, &currency("EUR")).unwrap();
    assert!(text.contains("\"share\": 33.33\n"), "{text}");
}
