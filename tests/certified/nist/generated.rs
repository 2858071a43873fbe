//! Generated data: `NoInt1` and `NoInt2`, Wampler1 to Wampler5. Source and terms: see the parent module.

use super::{Certified, Model};

/// A line through the origin.
pub const NO_INTERCEPT_1: Certified = Certified {
    name: "NoInt1",
    model: Model::NoIntercept,
    y: NO_INTERCEPT_1_Y,
    x: &[NO_INTERCEPT_1_X],
    coefficients: &[2.07438016528926],
    standard_errors: &[0.0165289256198347],
    residual_sd: 3.56753034006338,
    r_squared: 0.999365492298663,
};

const NO_INTERCEPT_1_X: &[f64] = &[
    60.0, 61.0, 62.0, 63.0, 64.0, 65.0, 66.0, 67.0, 68.0, 69.0, 70.0,
];
const NO_INTERCEPT_1_Y: &[f64] = &[
    130.0, 131.0, 132.0, 133.0, 134.0, 135.0, 136.0, 137.0, 138.0, 139.0, 140.0,
];

/// A line through the origin.
pub const NO_INTERCEPT_2: Certified = Certified {
    name: "NoInt2",
    model: Model::NoIntercept,
    y: NO_INTERCEPT_2_Y,
    x: &[NO_INTERCEPT_2_X],
    coefficients: &[0.727272727272727],
    standard_errors: &[0.0420827318078432],
    residual_sd: 0.369274472937998,
    r_squared: 0.993348115299335,
};

const NO_INTERCEPT_2_X: &[f64] = &[4.0, 5.0, 6.0];
const NO_INTERCEPT_2_Y: &[f64] = &[3.0, 4.0, 4.0];

/// x of all five Wampler sets.
const WAMPLER_X: &[f64] = &[
    0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 15.0, 16.0,
    17.0, 18.0, 19.0, 20.0,
];

/// An exact polynomial, all coefficients 1.
pub const WAMPLER_1: Certified = Certified {
    name: "Wampler1",
    model: Model::Polynomial(5),
    y: WAMPLER_1_Y,
    x: &[WAMPLER_X],
    coefficients: &[1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
    standard_errors: &[0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    residual_sd: 0.0,
    r_squared: 1.0,
};

const WAMPLER_1_Y: &[f64] = &[
    1.0, 6.0, 63.0, 364.0, 1365.0, 3906.0, 9331.0, 19608.0, 37449.0, 66430.0, 111111.0, 177156.0,
    271453.0, 402234.0, 579195.0, 813616.0, 1118481.0, 1508598.0, 2000719.0, 2613660.0, 3368421.0,
];

/// An exact polynomial, coefficients 0.1^k.
pub const WAMPLER_2: Certified = Certified {
    name: "Wampler2",
    model: Model::Polynomial(5),
    y: WAMPLER_2_Y,
    x: &[WAMPLER_X],
    coefficients: &[1.0, 0.1, 0.01, 0.001, 0.0001, 1.0e-5],
    standard_errors: &[0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    residual_sd: 0.0,
    r_squared: 1.0,
};

const WAMPLER_2_Y: &[f64] = &[
    1.0, 1.11111, 1.24992, 1.42753, 1.65984, 1.96875, 2.38336, 2.94117, 3.68928, 4.68559, 6.0,
    7.71561, 9.92992, 12.75603, 16.32384, 20.78125, 26.29536, 33.05367, 41.26528, 51.16209, 63.0,
];

/// Wampler1 with noise.
pub const WAMPLER_3: Certified = Certified {
    name: "Wampler3",
    model: Model::Polynomial(5),
    y: WAMPLER_3_Y,
    x: &[WAMPLER_X],
    coefficients: &[1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
    standard_errors: &[
        2152.3262467817,
        2363.55173469681,
        779.343524331583,
        101.47550755035,
        5.64566512170752,
        0.112324854679312,
    ],
    residual_sd: 2360.14502379268,
    r_squared: 0.99999555902582,
};

const WAMPLER_3_Y: &[f64] = &[
    760.0, -2042.0, 2111.0, -1684.0, 3888.0, 1858.0, 11379.0, 17560.0, 39287.0, 64382.0, 113159.0,
    175108.0, 273291.0, 400186.0, 581243.0, 811568.0, 1121004.0, 1506550.0, 2002767.0, 2611612.0,
    3369180.0,
];

/// Wampler3 with the noise times 100.
pub const WAMPLER_4: Certified = Certified {
    name: "Wampler4",
    model: Model::Polynomial(5),
    y: WAMPLER_4_Y,
    x: &[WAMPLER_X],
    coefficients: &[1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
    standard_errors: &[
        215232.62467817,
        236355.173469681,
        77934.3524331583,
        10147.550755035,
        564.566512170752,
        11.2324854679312,
    ],
    residual_sd: 236014.502379268,
    r_squared: 0.957478440825662,
};

const WAMPLER_4_Y: &[f64] = &[
    75901.0, -204794.0, 204863.0, -204436.0, 253665.0, -200894.0, 214131.0, -185192.0, 221249.0,
    -138370.0, 315911.0, -27644.0, 455253.0, 197434.0, 783995.0, 608816.0, 1370781.0, 1303798.0,
    2205519.0, 2408860.0, 3444321.0,
];

/// Wampler3 with the noise times 10,000: R squared 0.002.
pub const WAMPLER_5: Certified = Certified {
    name: "Wampler5",
    model: Model::Polynomial(5),
    y: WAMPLER_5_Y,
    x: &[WAMPLER_X],
    coefficients: &[1.0, 1.0, 1.0, 1.0, 1.0, 1.0],
    standard_errors: &[
        21523262.467817,
        23635517.3469681,
        7793435.24331583,
        1014755.0755035,
        56456.6512170752,
        1123.24854679312,
    ],
    residual_sd: 23601450.2379268,
    r_squared: 0.0022466892157494,
};

const WAMPLER_5_Y: &[f64] = &[
    7590001.0,
    -20479994.0,
    20480063.0,
    -20479636.0,
    25231365.0,
    -20476094.0,
    20489331.0,
    -20460392.0,
    18417449.0,
    -20413570.0,
    20591111.0,
    -20302844.0,
    18651453.0,
    -20077766.0,
    21059195.0,
    -19666384.0,
    26348481.0,
    -18971402.0,
    22480719.0,
    -17866340.0,
    10958421.0,
];
