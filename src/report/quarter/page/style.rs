//! How the page looks: on a screen, on a phone, on paper. Nothing is fetched.
//!
//! Colours of letters keep a contrast of at least 4.5:1 against white (WCAG 2.2,
//! SC 1.4.3), lines and bars of 3:1 (SC 1.4.11); no colour says anything alone.

/// Letters and lines, in the order in which they are used below.
pub(in crate::report) const INK: &str = "#1b1b1b";
/// Small print: 7:1 against white.
pub(in crate::report) const QUIET: &str = "#505050";
/// Headings, the rule above a part; the bars have it too.
pub(in crate::report) const ACCENT: &str = "#1f4e79";

/// The style sheet.
pub(in crate::report) fn sheet() -> String {
    SHEET
        .replace("INK", INK)
        .replace("QUIET", QUIET)
        .replace("ACCENT", ACCENT)
        .replace('\n', "")
}

const SHEET: &str = "\
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0 auto;max-width:48rem;padding:1.25rem 1rem 3rem;background:#fff;color:INK;font:1rem/1.5 system-ui,sans-serif;overflow-wrap:anywhere}
h1,h2,h3{line-height:1.2;color:ACCENT;font-family:Georgia,'Times New Roman',serif;font-weight:700}
h1{font-size:1.9rem;margin:0 0 .25rem}
h1 span{display:block;font-size:1.1rem;font-weight:400;color:INK;margin-top:.35rem}
h2{font-size:1.45rem;margin:0 0 .75rem}
h3{font-size:1.1rem;margin:2rem 0 .5rem}
p{margin:.5rem 0}
a{color:ACCENT}
nav{margin:.75rem 0}
nav a{display:inline-block;margin-right:1.25rem;padding:.25rem 0}
.part{border-top:4px double ACCENT;margin-top:2rem;padding-top:1.25rem}
.quiet,caption,figcaption,footer{color:QUIET;font-size:.875rem}
.thanks{border-left:4px solid ACCENT;padding:.25rem 0 .25rem .75rem;margin:1rem 0}
.sum{display:grid;grid-template-columns:repeat(4,auto);justify-content:start;align-items:end;gap:.25rem 2.5rem;margin:1rem 0;border-top:1px solid INK;border-bottom:1px solid INK;padding:.6rem 0}
.sum dt{font-size:.875rem;color:QUIET}
.sum dd{margin:0;font-size:1.3rem;font-variant-numeric:tabular-nums lining-nums;white-space:nowrap}
.sum div:last-child dd{font-weight:700}
table{border-collapse:collapse;width:100%;margin:.25rem 0 .75rem;font-size:.9375rem;font-variant-numeric:tabular-nums lining-nums}
table.narrow{width:auto;min-width:min(24rem,100%)}
caption{text-align:left;padding:0 0 .35rem}
th,td{padding:.3rem .75rem .3rem 0;text-align:left;vertical-align:top;border-bottom:1px solid #c4c4c4;font-weight:400}
th:last-child,td:last-child{padding-right:0}
tr>:first-child{min-width:4.5rem}
.f3.long tr>:first-child{min-width:calc(var(--id) + .75rem)}
thead th{border-bottom:1px solid INK;vertical-align:bottom;font-weight:700;overflow-wrap:normal}
tfoot th,tfoot td{border-top:1px solid INK;border-bottom:3px double INK;font-weight:700}
.f1 tr>:nth-child(n+2),.f2 tr>:nth-child(n+3),.f3 tr>:nth-child(n+4),table .n{text-align:right}
.f1 td,.f2 td:nth-child(n+3),.f3 td:nth-child(n+4),table .n{white-space:nowrap}
.d{white-space:nowrap}
.box{overflow-x:auto}
.box table{font-size:.875rem}
.box th,.box td{padding-right:.5rem}
.box th:last-child,.box td:last-child{padding-right:0}
.box:focus-visible{outline:3px solid ACCENT;outline-offset:2px}
.swipe{display:none}
figure{margin:.5rem 0 1rem;max-width:34rem}
svg{display:block;width:100%;height:auto;font-family:system-ui,sans-serif}
figcaption{margin-bottom:.5rem}
ol{padding-left:1.4rem}
li{margin:.35rem 0}
footer{margin-top:2rem;border-top:1px solid INK;padding-top:.5rem}
@media(max-width:40rem){
h1{font-size:1.6rem}
.sum{grid-template-columns:1fr;gap:.35rem}
.sum div{display:flex;justify-content:space-between;align-items:baseline;gap:1rem}
.swipe{display:block;margin:0}
.box table{width:max-content;min-width:100%}
.box caption span{display:inline-block;max-width:calc(100vw - 2rem);position:sticky;left:0}
.box td.w{max-width:13rem}
.box tr>:first-child{position:sticky;left:0;background:#fff;max-width:8.5rem}
.cards thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.cards tr{display:grid;grid-template-columns:1fr auto;column-gap:1rem;padding:.4rem 0;border-bottom:1px solid #c4c4c4}
.cards tr>*{border:0;padding:0;grid-column:1/-1}
.cards tr>:not(:last-child){text-align:left}
.cards tr>:first-child{grid-column:1;font-weight:700}
.cards tr>:last-child{grid-column:2;grid-row:1;text-align:right}
.cards.worded tr>:last-child{grid-column:1/-1;grid-row:auto;text-align:left}
.cards tfoot tr{border-top:1px solid INK;border-bottom:3px double INK}
.cards tfoot th,.cards tfoot td{border:0}
.price td:empty{display:none}
.price td:nth-child(4)::before,.price tfoot td:nth-child(2)::before{content:'price '}
.price td:nth-child(5)::before,.price tfoot td:nth-child(3)::before{content:'due '}
}
@page{margin:16mm 15mm}
@media print{
html{font-size:10pt}
body{max-width:none;padding:0;color:#000}
h1,h2,h3,h1 span,.quiet,caption,figcaption,footer,.sum dt{color:#000}
nav,.swipe{display:none}
.part{margin-top:0}
.part~.part{break-before:page}
h2,h3,caption,figcaption{break-after:avoid}
thead{display:table-header-group}
tfoot{display:table-row-group}
tr,figure,.sum,.thanks,li,table:not(.long){break-inside:avoid}
th,td{padding-top:.2rem;padding-bottom:.2rem}
tfoot tr,tbody tr:first-child{break-before:avoid}
.box{overflow:visible}
p{orphans:3;widows:3}
figure{max-width:30rem}
.box table{font-size:8.5pt}
}
";

#[cfg(test)]
mod tests {
    use super::{ACCENT, INK, QUIET};

    /// Contrast against white by WCAG 2.2, 'relative luminance' and 'contrast
    /// ratio'.
    fn contrast(colour: &str) -> f64 {
        let part = |at: usize| {
            let part = u8::from_str_radix(&colour[at..at + 2], 16).unwrap();
            let part = f64::from(part) / 255.0;
            if part <= 0.04045 {
                part / 12.92
            } else {
                ((part + 0.055) / 1.055).powf(2.4)
            }
        };
        let luminance = 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
        1.05 / (luminance + 0.05)
    }

    #[test]
    fn letters_can_be_told_from_the_paper() {
        // Black is 21:1; #767676 is the lightest grey that passes, at 4.54:1.
        assert!((contrast("#000000") - 21.0).abs() < 1e-9);
        assert!((contrast("#767676") - 4.54).abs() < 0.005);
        for colour in [INK, QUIET, ACCENT] {
            assert!(contrast(colour) >= 7.0, "{colour}: {}", contrast(colour));
        }
    }
}
