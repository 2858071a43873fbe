//! The report as text.

use super::made_up::{self, currency};
use wheelworth::report::quarter::audience::Audience;
use wheelworth::report::quarter::text::render;

#[test]
fn the_whole_report() {
    let text = render(&made_up::rich(), Audience::Whole, &currency("EUR"));
    insta::assert_snapshot!(text, @r#"
    Donated proceeds, 2026-Q2 (1 April to 30 June 2026), in EUR
    50 % of what is left of the sale prices after purchase, parts, fees and other
    costs of the bikes sold, and the workshop's costs, is due; labour is not
    charged. If the costs are higher than the prices, nothing is due and the
    shortfall waits for the next quarter.

      => 3 bikes were sold in this quarter, for 280.00 EUR together. 31.36 EUR
         became due and 290.00 EUR was handed over; at the end 25.41 EUR is still
         owed and 276.05 EUR is given ahead to others.

    What came in                                        price    cost  margin    due
      2026-04-11  B-7  hybrid 2016, tidy, M            150.00   31.37  118.63  23.45
      2026-05-02                                        90.00  101.13  -11.13   0.00
          =HYPERLINK("x")<script>alert('1')</script>
          & an id that goes on and on and on  hybrid
          2016, tidy, M
      2026-06-30  B-9  kids                             40.00    0.00   40.00   7.91
                                                       ------  ------  ------  -----
      3 bikes sold                                     280.00  132.50  147.50  31.36
      The bikes' dues add up to the whole due, in which corrections of closed
      quarters are counted.

    The workshop's costs                                                        cost
      2026-04-18  supply: =grease & <b>cloths</b>                              18.23
      2026-06-01  supply                                                        7.46
                                                                               -----
      together                                                                 25.69

    From the parts box (no money spent now; in no sum)                         worth
      2026-04-02  B-7  part: inner tube                                         6.66

    Corrections of closed quarters (change)                                   margin
      2026-Q1  B-3  sale price 95.00, was 100.00; cost 23.34, was 20.11        -8.23
      2026-Q1  B-4  sale taken out of the records, price 60.00; cost 17.29    -42.71
      2026-Q1  the workshop's costs 15.19, were 12.17                          -3.02

    What is due
      sale prices                                                             280.00
      direct costs                                                           -132.50
      corrections of closed quarters                                          -53.96
      the workshop's costs                                                    -25.69
      shortfall from before                                                    -5.13
                                                                             -------
      what is left                                                             62.72
      due: 50 % of it                                                          31.36

    Handed over                                                                given
      2026-03-09  The "Upper Mill" Tool Library & Repair Evening of the Five  -20.00
          Parishes Beyond the River  T-107 (taken out of the records: a gift
          of 2026-Q1)
      2026-06-20  Ferry Lane Reading Room  T-113                              300.00
      2026-06-21  @Footpath Fund                                               10.00
                                                                              ------
      together                                                                290.00

    What is owed                                  opening  + due  - given  = closing
      Ferry Lane Reading Room                       12.00  21.95   300.00    -266.05
      The "Upper Mill" Tool Library & Repair        -4.00   9.41   -20.00      25.41
          Evening of the Five Parishes Beyond
          the River
      @Footpath Fund                                 0.00   0.00    10.00     -10.00
                                                  -------  -----  -------  ---------
      together                                       8.00  31.36   290.00    -250.64

    Since 2025-Q4: 9 bikes sold, 410.00 EUR handed over in all.

    What earned most for the cause                                       due an hour
      B-7  hybrid 2016, tidy, M                                                 5.52
      B-9  kids                                                                 5.27

    What earned most for the cause                   due for each EUR of direct cost
      B-7  hybrid 2016, tidy, M                                                 0.75

    Cautions
      1. B-7: the costs add up to 10.44 EUR where the sales say 9.19 EUR (parts).
         The costs count; if some are missing, record them.
      2. No purchase cost is known of B-9: it counts as 0. If there was one, record
         it with 'record cost --kind purchase'.
      3. No hours are known of =HYPERLINK("x")<script>alert('1')</script> & an id
         that goes on and on and on: nothing says what an hour of them earned.
      4. Records of 2026-Q1 changed after it was closed. Its report stands as it
         was, and the difference is counted in this quarter.
      5. @Footpath Fund is no beneficiary of the book, so nothing is due there.
      6. 266.05 EUR more was handed over than was due to Ferry Lane Reading Room: it
         is given ahead and counts towards what is due next.
      7. These are records, not tax or legal advice. Who buys a bike has bought a
         bike and made no gift. A sold bike is ridden: this report is no safety
         check.
    "#);
}

#[test]
fn what_the_beneficiary_reads() {
    let text = render(&made_up::rich(), Audience::Beneficiary, &currency("EUR"));
    insta::assert_snapshot!(text, @r#"
    Donated proceeds, 2026-Q2 (1 April to 30 June 2026), in EUR
    For Ferry Lane Reading Room and The "Upper Mill" Tool Library & Repair Evening
    of the Five Parishes Beyond the River
    50 % of what is left of the sale prices after purchase, parts, fees and other
    costs of the bikes sold, and the workshop's costs, is due; labour is not
    charged. If the costs are higher than the prices, nothing is due and the
    shortfall waits for the next quarter.

      => 3 bikes were sold in this quarter, for 280.00 EUR together. 31.36 EUR
         became due and 290.00 EUR was handed over; at the end 25.41 EUR is still
         owed and 276.05 EUR is given ahead to others.

    What came in                                                               price
      2026-04-11  B-7  hybrid from 2016, size M                               150.00
      2026-05-02  =HYPERLINK("x")<script>alert('1')</script> & an id that      90.00
          goes on and on and on  hybrid from 2016, size M
      2026-06-30  B-9  kids                                                    40.00
                                                                              ------
      3 bikes sold                                                            280.00

    Corrections of closed quarters (change)
      2026-Q1  B-3  sale price 95.00, was 100.00
      2026-Q1  B-4  sale taken out of the records, price 60.00

    What is due
      sale prices                                                             280.00
      costs and corrections, not shown here
      shortfall from before                                                    -5.13
                                                                              ------
      due                                                                      31.36

    Handed over                                                                given
      2026-03-09  The "Upper Mill" Tool Library & Repair Evening of the Five  -20.00
          Parishes Beyond the River  T-107 (taken out of the records: a gift
          of 2026-Q1)
      2026-06-20  Ferry Lane Reading Room  T-113                              300.00
      2026-06-21  @Footpath Fund                                               10.00
                                                                              ------
      together                                                                290.00

    What is owed                                  opening  + due  - given  = closing
      Ferry Lane Reading Room                       12.00  21.95   300.00    -266.05
      The "Upper Mill" Tool Library & Repair        -4.00   9.41   -20.00      25.41
          Evening of the Five Parishes Beyond
          the River
      @Footpath Fund                                 0.00   0.00    10.00     -10.00
                                                  -------  -----  -------  ---------
      together                                       8.00  31.36   290.00    -250.64

    Since 2025-Q4: 9 bikes sold, 410.00 EUR handed over in all.

    Cautions
      1. Records of 2026-Q1 changed after it was closed. Its report stands as it
         was, and the difference is counted in this quarter.
      2. 266.05 EUR more was handed over than was due to Ferry Lane Reading Room: it
         is given ahead and counts towards what is due next.
      3. These are records, not tax or legal advice. Who buys a bike has bought a
         bike and made no gift. A sold bike is ridden: this report is no safety
         check.
    "#);
}

#[test]
fn a_share_of_the_prices() {
    let text = render(
        &made_up::by_price(),
        Audience::Beneficiary,
        &currency("KWD"),
    );
    insta::assert_snapshot!(text, @r#"
    Donated proceeds, 2026-Q2 (1 April to 30 June 2026), in KWD
    For Ferry Lane Reading Room and The "Upper Mill" Tool Library & Repair Evening
    of the Five Parishes Beyond the River
    The whole sale price of each bike is due.

      => 3 bikes were sold in this quarter, for 28.000 KWD together. 21.500 KWD
         became due and 29.000 KWD was handed over; at the end 8.050 KWD is still
         owed and 14.750 KWD is given ahead to others.

    What came in                                                       price     due
      2026-04-11  B-7  hybrid from 2016, size M                       15.000  15.000
      2026-05-02  =HYPERLINK("x")<script>alert('1')</script> & an id   9.000   9.000
          that goes on and on and on  hybrid from 2016, size M
      2026-06-30  B-9  kids                                            4.000   4.000
      corrections of other quarters                                           -6.500
                                                                      ------  ------
      3 bikes sold, and what comes of other quarters                  28.000  21.500

    Corrections of closed quarters (change)                                    price
      2026-Q1  B-3  sale price 9.500, was 10.000                              -0.500
      2026-Q1  B-4  sale taken out of the records, price 6.000                -6.000

    What is due
      sale prices                                                             28.000
      corrections of closed quarters                                          -6.500
                                                                              ------
      together                                                                21.500
      due: 100 % of it                                                        21.500

    Handed over                                                                given
      2026-03-09  The "Upper Mill" Tool Library & Repair Evening of the Five  -2.000
          Parishes Beyond the River  T-107 (taken out of the records: a gift
          of 2026-Q1)
      2026-06-20  Ferry Lane Reading Room  T-113                              30.000
      2026-06-21  @Footpath Fund                                               1.000
                                                                              ------
      together                                                                29.000

    What is owed                                 opening   + due  - given  = closing
      Ferry Lane Reading Room                      1.200  15.050   30.000    -13.750
      The "Upper Mill" Tool Library & Repair      -0.400   6.450   -2.000      8.050
          Evening of the Five Parishes Beyond
          the River
      @Footpath Fund                               0.000   0.000    1.000     -1.000
                                                 -------  ------  -------  ---------
      together                                     0.800  21.500   29.000     -6.700

    Since 2025-Q4: 9 bikes sold, 41.000 KWD handed over in all.

    Cautions
      1. Records of 2026-Q1 changed after it was closed. Its report stands as it
         was, and the difference is counted in this quarter.
      2. 26.605 KWD more was handed over than was due to Ferry Lane Reading Room: it
         is given ahead and counts towards what is due next.
      3. These are records, not tax or legal advice. Who buys a bike has bought a
         bike and made no gift. A sold bike is ridden: this report is no safety
         check.
    "#);
}

#[test]
fn an_empty_quarter_says_so() {
    let text = render(&made_up::empty(), Audience::Whole, &currency("JPY"));
    insta::assert_snapshot!(text, @"
    Donated proceeds, 2026-Q2 (1 April to 30 June 2026), in JPY
    All of what is left of the sale prices after purchase, parts, fees and other
    costs of the bikes sold, and the workshop's costs, is due; labour is not
    charged. If the costs are higher than the prices, nothing is due and the
    shortfall waits for the next quarter.

      => No bike was sold in this quarter. 0 JPY became due and 0 JPY was handed
         over; at the end nothing is owed.

    Nothing was sold, handed back or handed over in this quarter.

    What is owed to Ferry Lane Reading Room
      opening balance                                                              0
      + due for the quarter                                                        0
      - given in the quarter                                                       0
                                                                                   -
      = closing balance, nothing owed                                              0

    Cautions
      1. These are records, not tax or legal advice. Who buys a bike has bought a
         bike and made no gift. A sold bike is ridden: this report is no safety
         check.
    ");
}

#[test]
fn most_quarters() {
    let text = render(&made_up::usual(), Audience::Whole, &currency("EUR"));
    insta::assert_snapshot!(text, @"
    Donated proceeds, 2026-Q2 (1 April to 30 June 2026), in EUR
    All of what is left of the sale prices after purchase, parts, fees and other
    costs of the bikes sold, and the workshop's costs, is due; labour is not
    charged. If the costs are higher than the prices, nothing is due and the
    shortfall waits for the next quarter.

      => 4 bikes were sold in this quarter, for 583.00 EUR together. 150.20 EUR
         became due and 235.00 EUR was handed over; at the end 93.40 EUR is still
         owed.

    What came in                                       price    cost  margin     due
      2026-04-04  B-43  hybrid 2016, tidy, M          215.00  135.50   79.50   69.63
      2026-04-18  B-44  city                          120.00   80.00   40.00   35.03
      2026-05-09  B-45  hybrid 2016, tidy, M          153.00  101.00   52.00   45.54
      2026-05-30  B-46  hybrid 2016, tidy, M           95.00  101.50   -6.50    0.00
                                                      ------  ------  ------  ------
      4 bikes sold                                    583.00  418.00  165.00  150.20

    The workshop's costs                                                        cost
      2026-04-18  supply: chain oil, cloths                                    14.80
                                                                               -----
      together                                                                 14.80

    From the parts box (no money spent now; in no sum)                         worth
      2026-05-02  B-45  part: bell and lights                                   9.00

    What is due
      sale prices                                                             583.00
      direct costs                                                           -418.00
      the workshop's costs                                                    -14.80
                                                                             -------
      what is left                                                            150.20
      due: 100 % of it                                                        150.20

    Handed over                                                                given
      2026-04-11  Ferry Lane Reading Room  T-113                              175.00
      2026-06-13  Ferry Lane Reading Room  T-114                               60.00
                                                                              ------
      together                                                                235.00

    What is owed to Ferry Lane Reading Room
      opening balance                                                         178.20
      + due for the quarter                                                   150.20
      - given in the quarter                                                  235.00
                                                                              ------
      = closing balance, still owed                                            93.40

    Since 2024-Q1: 30 bikes sold, 4,305.00 EUR handed over in all.

    What earned most for the cause                                       due an hour
      B-44  city                                                               11.68
      B-45  hybrid 2016, tidy, M                                               10.72
      B-43  hybrid 2016, tidy, M                                               10.71

    What earned most for the cause                   due for each EUR of direct cost
      B-43  hybrid 2016, tidy, M                                                0.51
      B-45  hybrid 2016, tidy, M                                                0.45
      B-44  city                                                                0.44

    Cautions
      1. These are records, not tax or legal advice. Who buys a bike has bought a
         bike and made no gift. A sold bike is ridden: this report is no safety
         check.
    ");
}

#[test]
fn lines_fit_ninety_columns() {
    let reports = [
        made_up::rich(),
        made_up::by_price(),
        made_up::usual(),
        made_up::many(30),
    ];
    for report in &reports {
        for audience in [Audience::Whole, Audience::Beneficiary, Audience::Workshop] {
            for code in ["EUR", "JPY", "KWD"] {
                let text = render(report, audience, &currency(code));
                for line in text.lines() {
                    assert!(line.chars().count() <= 90, "{line}");
                    assert_eq!(line, line.trim_end(), "{line:?}");
                }
            }
        }
    }
}

#[test]
fn a_word_that_is_longer_than_a_line_is_cut_and_not_lost() {
    let mut report = made_up::usual();
    let id = "0123456789".repeat(20);
    report.sales[0].id.clone_from(&id);
    let text = render(&report, Audience::Whole, &currency("EUR"));
    let table = text.split("What came in").nth(1).unwrap();
    let joined: String = table.split("2026-04-18").next().unwrap().to_string();
    let digits: String = joined
        .lines()
        .filter(|line| line.contains("0123") || line.contains("6789"))
        .flat_map(|line| line.split_whitespace())
        .filter(|word| word.len() > 7 && word.bytes().all(|b| b.is_ascii_digit()))
        .collect();
    assert_eq!(digits, id);
    assert!(
        text.lines().all(|line| line.chars().count() <= 90),
        "{text}"
    );
}
