'use strict';
// What a bike is worth and what to pay for it, from the fitted model that the program
// put into the page. Arithmetic alone: no document, no network, no library.
//
// wheelworthModel(model) gives { value, when_done, most_to_pay, plan }. The formulas are those of
// the program (src/pricing: design, value, quote, offer), in the same order and with
// the same names; a test holds the two side by side.
const wheelworthModel = (() => {
    // ---- reading what people type -----------------------------------------------

    const CONDITIONS = ['donor', 'project', 'rider', 'tidy', 'mint'];
    const TIERS = ['basic', 'sport', 'club', 'race', 'pro'];
    const SIZES = ['XS', 'S', 'M', 'L', 'XL'];

    const blank = (cell) => cell === undefined || cell === null || String(cell).trim() === '';
    const text = (cell) => String(cell).trim();

    // Digits with at most one decimal point or comma: { digits, decimals }.
    function decimal(cell) {
        const found = /^(\d{1,9})(?:[.,](\d{1,6}))?$/.exec(cell);
        if (!found) return null;
        const part = found[2] || '';
        return { digits: Number(found[1] + part), scale: 10 ** part.length };
    }

    function readStyle(cell, styles) {
        const word = text(cell).toLowerCase();
        const place = styles.indexOf(word);
        if (place < 0) throw new Error(`'${text(cell)}' is no style: use ${styles.join(', ')}.`);
        return place;
    }

    function readGrade(cell, words, what) {
        const small = text(cell).toLowerCase();
        const number = decimal(small);
        const grade = number ? number.digits / number.scale : words.indexOf(small) + 1;
        if (Number.isInteger(grade) && grade >= 1 && grade <= words.length) return grade;
        throw new Error(`'${text(cell)}' is no ${what}: use 1 to 5, or ${words.join(', ')}.`);
    }

    const FIRST_YEAR = 1817;
    const WIDEST = 40;

    function readYear(cell, last) {
        const typed = text(cell);
        const number = /^\d{4}(?:[.,]\d{1,6})?$/.test(typed) ? decimal(typed) : null;
        const year = number ? number.digits / number.scale : NaN;
        if (!Number.isInteger(year)) {
            throw new Error(`'${typed}' is no model year: write it as 2013, or as 2010..2013.`);
        }
        if (year > last) throw new Error(`${year} is in the future: a model year up to ${last} is read.`);
        if (year < FIRST_YEAR) throw new Error(`${year}: there were no bicycles before ${FIRST_YEAR}.`);
        return year;
    }

    // First and last year that it may be of. `last` is the last year that is read.
    function readMade(cell, last) {
        const typed = text(cell);
        const small = typed.toLowerCase().replace(/\?+$/, '').trim().replace(/^['’‘´]+/, '');
        // A year of two digits that this century does not have yet.
        const ofLastCentury = (short) => (/^\d\d$/.test(short) && 2000 + Number(short) >= last ? `19${short}` : short);
        const around = (year, before, after) => {
            const to = Math.min(year + after, Math.max(last, year));
            return [Math.max(year - before, FIRST_YEAR), to];
        };
        const about = ['circa', 'ca.', 'ca', 'c.', '~', '≈'].find((word) => small.startsWith(word));
        if (about) return around(readYear(ofLastCentury(small.slice(about.length).trim().replace(/^['’]+/, '')), last), 2, 2);
        if (small.length === 2 && /^['’‘´]/.test(typed)) {
            const year = readYear(ofLastCentury(small), last);
            return [year, year];
        }
        const part = [['early', 0, 4], ['anfang', 0, 4], ['mid', 3, 7], ['late', 5, 9], ['ende', 5, 9]]
            .find(([word]) => small.startsWith(word)) || ['', 0, 9];
        const decade = /^(?:['’]*(\d\d)|['’]*(\d{4}))(?:['’]?s|er)$/.exec(small.slice(part[0].length).replace(/^[ -]+/, ''));
        if (decade) {
            const short = Number(decade[1]);
            const first = decade[2] ? readYear(decade[2], last) : short + (2000 + short < last ? 2000 : 1900);
            if (first % 10 === 0) return around(first + part[1], 0, part[2] - part[1]);
            throw new Error(`'${typed}': a decade begins with a year such as 1990.`);
        }
        const pair = /^(\d{4})\s*\/\s*(\d{2}|\d{4})$/.exec(small);
        if (pair) {
            const first = readYear(pair[1], last);
            const next = String(first + 1);
            if (pair[2] === next || pair[2] === next.slice(2)) return around(first, 0, 1);
        }
        const sign = ['...', '..', '…', '-', '–', '—'].find((between) => typed.includes(between));
        if (!sign) {
            const year = readYear(typed, last);
            return [year, year];
        }
        const at = typed.indexOf(sign);
        const ends = [typed.slice(0, at), typed.slice(at + sign.length)];
        if (ends.some(blank)) throw new Error(`'${typed}': write the first and the last year, such as 2010..2013.`);
        const [from, to] = ends.map((end) => readYear(end, last));
        if (from > to) throw new Error(`'${typed}': write the earlier year first, ${to}..${from}.`);
        if (to - from > WIDEST) throw new Error(`'${typed}': a range of at most ${WIDEST} years is read.`);
        return [from, to];
    }

    // Smallest seat tube of each class from S on, in tenths of a millimetre.
    const CLASS_FROM = { road: [5000, 5300, 5600, 5900], mountain: [3810, 4318, 4826, 5334] };
    const CLASS_FROM_ELSE = [4400, 4900, 5400, 5800];
    const TENTHS = {
        cm: 100, mm: 10,
        in: 254, 'in.': 254, inch: 254, inches: 254, '"': 254, "''": 254, '″': 254, '”': 254, '’’': 254,
    };
    const SIZE_WORDS = {
        xs: 0, xsmall: 0, extrasmall: 0, s: 1, small: 1, m: 2, med: 2, medium: 2,
        l: 3, large: 3, xl: 4, xlarge: 4, extralarge: 4,
    };
    const WHEELS = ['700', '700c', '700.c', '29er', '27.5', '650b', '650.b'];

    // Place of the size class; null for kids, who have none.
    function readSize(cell, style) {
        const typed = text(cell);
        const small = typed.toLowerCase();
        const kids = style === 'kids';
        const wheels = WHEELS.concat(kids ? ['12', '14', '16', '18', '20', '24'] : ['26', '28', '29']);
        if (wheels.includes(small.replace(/[ ,]/g, '.'))) {
            throw new Error(`'${typed}' is the size of a wheel: measure the seat tube, such as 53cm, or leave it open.`);
        }
        const word = SIZE_WORDS[small.replace(/^size /, '').replace(/[ .-]/g, '')];
        if (word !== undefined) {
            if (kids) throw new Error(`'${typed}': bikes for kids have no size classes; a length such as 30cm is read.`);
            return word;
        }
        const found = /^([\d.,]+)\s*(\D*)$/.exec(small);
        const number = found && decimal(found[1]);
        const unit = number && (found[2] ? TENTHS[found[2].trim()] : bareUnit(number.digits / number.scale));
        if (!unit) {
            throw new Error(`'${typed}' is no seat tube: write 53cm, 530mm or 20in${kids ? '' : ', or a size such as M'}.`);
        }
        const exact = number.digits * unit;
        const [least, most] = kids ? [12, 40] : [25, 80];
        if (exact < 100 * least * number.scale || exact > 100 * most * number.scale) {
            throw new Error(`'${typed}': a seat tube is ${least} to ${most} cm long.`);
        }
        if (kids) return null;
        const tenths = Math.floor((2 * exact + number.scale) / (2 * number.scale));
        return (CLASS_FROM[style] || CLASS_FROM_ELSE).filter((from) => tenths >= from).length;
    }

    function bareUnit(number) {
        if (number < 30) return 254;
        if (number <= 80) return 100;
        return number > 250 ? 10 : 0;
    }

    const SIGNS = {
        '€': ['EUR'], '£': ['GBP'], $: ['USD', 'AUD', 'CAD', 'NZD', 'SGD', 'HKD', 'MXN'], '¥': ['JPY', 'CNY'],
        kr: ['SEK', 'NOK', 'DKK', 'ISK'], zł: ['PLN'], kč: ['CZK'], ft: ['HUF'], fr: ['CHF'], lei: ['RON'],
    };

    // An amount in the currency's units; a number is taken as it stands.
    function readMoney(cell, currency, what) {
        const no = (why) => new Error(`${what} '${text(cell)}': ${why}`);
        if (typeof cell === 'number') {
            if (Number.isFinite(cell) && cell >= 0) return cell;
            throw no('write an amount that is not negative.');
        }
        const found = /^([^\d.,]*?)\s*(\d[\d.,'’ \u00a0\u202f\u2009]*|[.,]\d+)\s*([^\d]*)$/.exec(text(cell));
        if (!found) throw no('write an amount such as 1234.50.');
        const marks = [found[1], found[3].replace(/^[.,]?[-–—]+/, '')].map((mark) => mark.trim().replace(/\.$/, ''));
        for (const mark of marks.filter((one) => one !== '')) {
            const codes = SIGNS[mark.toLowerCase()] || [mark.toUpperCase()];
            if (!codes.includes(currency.code)) throw no(`write an amount in ${currency.code}.`);
        }
        const body = found[2].replace(/[.,]$/, '');
        const signs = body.replace(/[^.,]/g, '');
        // The last sign stands before decimals where it is the only one of its kind.
        let point = signs.split(signs.slice(-1)).length === 2 ? signs.slice(-1) : '';
        const decimals = point ? body.length - 1 - body.lastIndexOf(point) : 0;
        if (signs.length === 1 && decimals === 3 && !/^0*[.,]/.test(body)) {
            const [known, here] = [currency.decimal, point === '.' ? 'point' : 'comma'];
            if (!known && currency.decimals !== 3) throw no('it reads two ways; write it without a sign for thousands.');
            if (here !== (known || 'point')) point = '';
        }
        const at = point ? body.lastIndexOf(point) : body.length;
        const whole = body.slice(0, at).replace(/\D/g, '');
        const part = body.slice(at).replace(/\D/g, '');
        if (/[1-9]/.test(part.slice(currency.decimals))) throw no(`more decimals than ${currency.code} has.`);
        return Number(`${whole || '0'}.${part || '0'}`);
    }

    // ---- numbers ----------------------------------------------------------------

    const sum = (list) => list.reduce((all, one) => all + one, 0);
    const dot = (a, b) => a.reduce((all, one, i) => all + one * b[i], 0);
    const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
    // Numbers from `from` up to `to`, which is not among them.
    const range = (from, to) => Array.from({ length: to - from }, (_, i) => from + i);

    // x'Vx, V as its upper triangle row by row.
    function quadratic(triangle, x) {
        const n = x.length;
        let total = 0;
        for (let i = 0, at = 0; i < n; at += n - i, i += 1) {
            if (x[i] === 0) continue;
            let row = triangle[at] * x[i];
            for (let j = i + 1; j < n; j += 1) row += 2 * triangle[at + j - i] * x[j];
            total += x[i] * row;
        }
        return total;
    }

    // ln of the gamma function (Lanczos, g = 7, nine terms; from memory).
    const LANCZOS = [0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313,
        -176.61502916214059, 12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7];
    function lnGamma(z) {
        const t = z + 6.5;
        const series = LANCZOS.slice(1).reduce((all, c, i) => all + c / (z + i), LANCZOS[0]);
        return 0.5 * Math.log(2 * Math.PI) + (z - 0.5) * Math.log(t) - t + Math.log(series);
    }

    // Regularised incomplete beta function by its continued fraction (Lentz's method;
    // Abramowitz & Stegun 26.5.8).
    function betaPart(a, b, x) {
        if (x <= 0) return 0;
        if (x >= 1) return 1;
        if (x > (a + 1) / (a + b + 2)) return 1 - betaPart(b, a, 1 - x);
        const TINY = 1e-300;
        const away = (v) => (Math.abs(v) < TINY ? TINY : v);
        let c = 1;
        let d = 1 / away(1 - ((a + b) * x) / (a + 1));
        let fraction = d;
        for (let m = 1; m < 300; m += 1) {
            const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
            d = 1 / away(1 + even * d);
            c = away(1 + even / c);
            fraction *= d * c;
            const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
            d = 1 / away(1 + odd * d);
            c = away(1 + odd / c);
            fraction *= d * c;
            if (Math.abs(d * c - 1) < 1e-14) break;
        }
        const front = lnGamma(a + b) - lnGamma(a) - lnGamma(b) + a * Math.log(x) + b * Math.log(1 - x);
        return (Math.exp(front) / a) * fraction;
    }

    // Probability that a Student t lies below k.
    function tBelow(k, freedom) {
        const inside = betaPart(0.5, freedom / 2, (k * k) / (freedom + k * k));
        return 0.5 + Math.sign(k) * 0.5 * inside;
    }

    // Quantile of a mixture [{ weight, location, scale }] of Student t, by halving.
    function quantile(mixture, freedom, p) {
        const below = (x) => sum(mixture.map((t) => t.weight * tBelow((x - t.location) / t.scale, freedom)))
            / sum(mixture.map((t) => t.weight));
        const widest = Math.max(...mixture.map((t) => t.scale));
        let low = Math.min(...mixture.map((t) => t.location)) - widest;
        let high = Math.max(...mixture.map((t) => t.location)) + widest;
        while (below(low) > p) low -= widest;
        while (below(high) < p) high += widest;
        while (high - low > 1e-7) {
            const middle = (low + high) / 2;
            if (below(middle) < p) low = middle;
            else high = middle;
        }
        return (low + high) / 2;
    }

    // Places around `at` among ascending ones, and the part of the way between them.
    function around(places, at) {
        let above = places.findIndex((place) => place > at);
        if (above < 0) above = places.length - 1;
        const below = Math.max(above - 1, 0);
        const apart = places[above] - places[below];
        return [below, above, apart > 0 ? clamp((at - places[below]) / apart, 0, 1) : 0];
    }

    // ---- a bike as numbers ------------------------------------------------------

    // Places of the facts, and the bits that say which groups are known.
    const AGE = 0;
    const CONDITION = 5;
    const TIER = 9;
    const SIZE = 13;
    const NEW_PRICE = 15;
    const STYLE = 16;
    const KNOWN = { age: 1, condition: 2, tier: 4, size: 8, newPrice: 16 };
    const ALL_KNOWN = 31;

    // Years of age within each stretch between the knots.
    function lengths(age, knots) {
        return [...knots, Infinity].map((to, i) => Math.max(Math.min(age, to) - (i ? knots[i - 1] : 0), 0));
    }

    // Age in decimal years from 1 July of the model year.
    function ageOf(year, day) {
        const [y, m, d] = day.split('-').map(Number);
        return Math.max((Date.UTC(y, m - 1, d) - Date.UTC(year, 6, 1)) / 864e5 / 365.2425, 0);
    }

    // The bike as asked about: what is read of the facts.
    function readBike(facts, model) {
        if (blank(facts.style)) throw new Error('Which style is it?');
        const { styles } = model.value.design;
        const style = readStyle(facts.style, styles);
        const read = (cell, how) => (blank(cell) ? null : how(cell));
        const size = read(facts.seat_tube, (cell) => readSize(cell, styles[style]));
        const newPrice = read(facts.new_price, (cell) => readMoney(cell, model.currency, 'New price'));
        const guess = read(facts.guess, (cell) => readMoney(cell, model.currency, 'Guess'));
        return {
            style,
            made: read(facts.made, (cell) => readMade(cell, Number(model.value.as_of.slice(0, 4)) + 1)),
            condition: read(facts.condition, (cell) => readGrade(cell, CONDITIONS, 'condition')),
            tier: read(facts.tier, (cell) => readGrade(cell, TIERS, 'tier')),
            size,
            newPrice: newPrice > 0 ? newPrice : null,
            guess: guess > 0 ? guess : null,
        };
    }

    // The numbers of a bike, unknown ones 0, one set for each year that it may be of.
    function factsOf(bike, design, day) {
        const [baseAge, baseCondition, baseTier] = design.base;
        const values = new Array(STYLE + design.styles.length).fill(0);
        let known = 0;
        const steps = (grade, base, from) => {
            for (let level = 2; level <= 5; level += 1) values[from + level - 2] = (grade >= level) - (base >= level);
        };
        if (bike.condition !== null) {
            known |= KNOWN.condition;
            steps(bike.condition, baseCondition, CONDITION);
        }
        if (bike.tier !== null) {
            known |= KNOWN.tier;
            steps(bike.tier, baseTier, TIER);
        }
        if (bike.size !== null) {
            values[SIZE] = Number(SIZES[bike.size] === 'S' || SIZES[bike.size] === 'L');
            values[SIZE + 1] = Number(SIZES[bike.size].startsWith('X'));
        }
        if (bike.size !== null || design.styles[bike.style] === 'kids') known |= KNOWN.size;
        if (bike.newPrice !== null) {
            known |= KNOWN.newPrice;
            values[NEW_PRICE] = Math.log(bike.newPrice);
        }
        values[STYLE + bike.style] = 1;
        if (bike.made === null) return { known, years: [values] };
        const base = lengths(baseAge, design.knots);
        const years = range(bike.made[0], bike.made[1] + 1).map((year) => {
            const aged = values.slice();
            lengths(ageOf(year, day), design.knots).forEach((length, i) => { aged[AGE + i] = length - base[i]; });
            return aged;
        });
        return { known: known | KNOWN.age, years };
    }

    // Puts what they are expected to be in the place of unknown facts, within what a
    // bike can have.
    function complete(values, known, design, mean) {
        const full = values.slice();
        if (known === ALL_KNOWN) return full;
        const { unknown, told_by: toldBy, slopes } = design.masks[known];
        unknown.forEach((at, i) => {
            full[at] = mean[at] + sum(toldBy.map((places, l) => slopes[i * toldBy.length + l]
                * sum(places.map((place) => values[place] - mean[place]))));
        });
        const [baseAge, baseCondition, baseTier] = design.base;
        const steps = (from, base) => {
            for (let i = 0; i < 4; i += 1) full[from + i] = clamp(full[from + i], i + 2 <= base ? -1 : 0, i + 2 <= base ? 0 : 1);
        };
        if (!(known & KNOWN.age)) {
            const [base, longest] = [lengths(baseAge, design.knots), lengths(60, design.knots)];
            base.forEach((b, i) => { full[AGE + i] = clamp(full[AGE + i], -b, longest[i] - b); });
        }
        if (!(known & KNOWN.condition)) steps(CONDITION, baseCondition);
        if (!(known & KNOWN.tier)) steps(TIER, baseTier);
        if (!(known & KNOWN.size)) [SIZE, SIZE + 1].forEach((at) => { full[at] = clamp(full[at], 0, 1); });
        return full;
    }

    // The row of the design: level, facts, age and tier by style, vintage, condition
    // for young bikes and for old ones.
    function rowOf(values, known, style, design, mean) {
        const full = complete(values, known, design, mean);
        const styles = design.styles.length;
        const toFifteen = sum(full.slice(AGE, AGE + 3));
        const tiers = sum(full.slice(TIER, TIER + 4));
        const byStyle = (number) => design.styles.map((_, i) => (i === style ? number : 0));
        const [level, aTier, ...ofStyle] = design.usual_new_price;
        const usual = level + aTier * tiers + dot(full.slice(STYLE, STYLE + styles), ofStyle);
        full[NEW_PRICE] = known & KNOWN.newPrice ? full[NEW_PRICE] - usual : 0;
        const [, , fifteen, thirtyFive] = design.knots;
        const old = (toFifteen + design.base[0]) / fifteen;
        const condition = dot(full.slice(CONDITION, CONDITION + 4), design.condition_steps);
        const collected = design.collected.includes(design.styles[style]);
        return [
            1, ...full, ...byStyle(toFifteen), ...byStyle(tiers),
            collected ? full[AGE + 3] / (thirtyFive - fifteen) : 0,
            condition * (1 - old), condition * old,
        ];
    }

    // ---- value ------------------------------------------------------------------

    // What is left of a new price by the beliefs, with its variance.
    function secondOpinion(row, lnNew, design, { anchor, around: variance, means, sds }) {
        const fromNew = [
            ...lengths(design.base[0], design.knots).map((base, i) => row[1 + AGE + i] + base),
            ...[2, 3, 4, 5].map((level, i) => row[1 + CONDITION + i] - (design.base[1] < level)),
        ];
        return {
            mean: lnNew + anchor[0] + dot(means, fromNew),
            variance: anchor[1] + variance + sum(sds.map((sd, i) => (sd * fromNew[i]) ** 2)),
        };
    }

    // Two opinions put together, each weighed by its precision; where they are further
    // apart than both allow, the doubt grows.
    function together(first, second) {
        const both = first.variance + second.variance;
        if (both <= 0) return first;
        const share = first.variance / both;
        const apart = second.mean - first.mean;
        const beyond = Math.max(apart * apart - both, 0);
        return {
            mean: first.mean + share * apart,
            variance: share * second.variance + share * (1 - share) * beyond,
        };
    }

    // ln of the value of a bike, the distribution of ln of one sale, and the variance
    // of what buyers see. null where there is nothing to go on.
    function priced(bike, model) {
        const { design, components, coefficients, range_factor: factor, ...v } = model.value;
        if (!components.length && bike.newPrice === null) return null;
        const { known, years } = factsOf(bike, design, v.as_of);
        const lnNew = bike.newPrice === null ? 0 : Math.log(bike.newPrice);
        const mean = design.mean.slice();
        // Without records the usual new price is the bike's own.
        if (!components.length) mean[NEW_PRICE] = lnNew;
        const rows = years.map((values) => rowOf(values, known, bike.style, design, mean));
        const row = rows[0].map((_, j) => sum(rows.map((one) => one[j])) / rows.length);
        // What the years of a range differ by, and what unknown facts leave.
        const ofYears = rows.map((one) => dot(one, coefficients));
        const middle = sum(ofYears) / rows.length;
        const mask = components.length ? known : known | KNOWN.tier | KNOWN.size | KNOWN.newPrice;
        const unknown = sum(ofYears.map((one) => (one - middle) ** 2)) / rows.length
            + design.masks[mask].variance[bike.style];
        const opinion = bike.newPrice === null ? null : secondOpinion(row, lnNew, design, v.depreciation);
        if (!components.length) {
            return {
                lnValue: opinion.mean,
                sale: [{ weight: 1, location: opinion.mean, scale: Math.sqrt(v.own_variance + opinion.variance + unknown) }],
                bikeVariance: v.bike_share * v.own_variance + opinion.variance + unknown,
            };
        }
        const centre = dot(row, coefficients);
        const fits = components.map((one) => ({
            weight: one.weight,
            centre: dot(row, one.coefficients),
            variance: quadratic(one.covariance, row),
        }));
        const doubt = sum(fits.map((fit) => fit.weight * (fit.variance + (fit.centre - centre) ** 2)));
        const first = { mean: centre, variance: doubt };
        const both = opinion ? together(first, opinion) : first;
        const [moves, narrows] = [both.mean - centre, doubt > 0 ? both.variance / doubt : 1];
        return {
            lnValue: both.mean,
            sale: fits.map((fit) => ({
                weight: fit.weight,
                location: fit.centre + moves,
                scale: factor * Math.sqrt(v.own_variance + fit.variance * narrows + unknown),
            })),
            bikeVariance: factor ** 2 * (v.bike_share * v.own_variance + doubt * narrows + unknown),
        };
    }

    // Student t errors with 4 degrees of freedom; the scale that fits normal errors.
    const T_DEGREES = 4;
    const NORMAL_SCALE = 0.69056680667;
    const tSquare = (off, variance) => (off * off) / (NORMAL_SCALE * variance);
    const tWeight = (off, variance) => (T_DEGREES + 1) / (T_DEGREES + tSquare(off, variance));
    const lnDensity = (off, variance) => -0.5 * (Math.log(variance)
        + (T_DEGREES + 1) * Math.log1p(tSquare(off, variance) / T_DEGREES));

    // The price together with the guess of somebody who has the bike in front of them,
    // over all eyes that the records leave possible.
    function lookedAt(bike, price, model) {
        if (price === null || bike.guess === null) return price;
        const { nodes, widens, luck } = model.value.eye;
        const variance = Math.max(price.bikeVariance, 1e-12);
        const away = Math.log(bike.guess) - price.lnValue;
        const eyes = nodes.map(({ sees, noise, ln_weight: lnWeight, bias, bias_variance: biasVariance }) => {
            const off = away - bias;
            const spread = noise + biasVariance;
            const sound = Math.min(tWeight(off, variance + spread), 1);
            return {
                lnWeight: lnWeight + lnDensity(off, (sees ? variance : 0) + spread),
                count: sees ? variance / (variance + spread / sound) : 0,
                off,
            };
        });
        const top = Math.max(...eyes.map((eye) => eye.lnWeight));
        const chances = eyes.map((eye) => Math.exp(eye.lnWeight - top));
        const all = sum(chances);
        const mean = (of) => sum(eyes.map((eye, i) => chances[i] * of(eye))) / all;
        const moves = mean((eye) => eye.count * eye.off);
        const squares = mean((eye) => (eye.count * eye.off) ** 2);
        const left = mean((eye) => variance * (1 - eye.count));
        const narrows = (left + Math.max(squares - moves * moves, 0)) / variance;
        return {
            looked: true,
            lnValue: price.lnValue + moves,
            sale: price.sale.map((t) => ({
                weight: t.weight,
                location: t.location + moves,
                scale: widens * Math.sqrt(t.scale ** 2 + (narrows - 1) * Math.max(t.scale ** 2 - luck, 0)),
            })),
            bikeVariance: widens ** 2 * narrows * price.bikeVariance,
        };
    }

    // The same after repairs: a better condition and a better tier bring less than what
    // such bikes bring more.
    function repaired(bike, before, model) {
        const done = priced(bike, model);
        if (done === null) return null;
        const [found, conditionOnly] = [
            { ...bike, condition: before.condition, tier: before.tier },
            { ...bike, tier: before.tier },
        ].map((one) => priced(one, model).lnValue);
        const steps = [conditionOnly - found, done.lnValue - conditionOnly];
        const parts = [model.plan.condition, model.plan.tier];
        const takes = sum(parts.map(([part], i) => (part - 1) * steps[i]));
        const variance = sum(parts.map(([, sd], i) => (sd * steps[i]) ** 2));
        return {
            lnValue: done.lnValue + takes,
            sale: done.sale.map((t) => ({
                weight: t.weight,
                location: t.location + takes,
                scale: Math.hypot(t.scale, Math.sqrt(variance)),
            })),
            bikeVariance: done.bikeVariance + variance,
        };
    }

    // ---- what a plan brings -----------------------------------------------------

    // Distance between asks, in the currency's units.
    function pricePoints(value, plan, currency) {
        const wanted = Math.max(plan.step * value, 1e-12);
        const decade = 10 ** Math.floor(Math.log10(wanted));
        const off = (x) => Math.abs(Math.log(x / wanted));
        let nearest = [1, 2, 5, 10].map((digit) => digit * decade)
            .reduce((best, one) => (off(one) < off(best) ? one : best));
        if (nearest < 1 && plan.coarse * value >= 1) nearest = 1;
        const scale = 10 ** currency.decimals;
        return Math.max(Math.round(nearest * scale), 1) / scale;
    }

    // The highest ask that is tried, over the value.
    function highest(bike, price, doubt, model) {
        const { plan } = model;
        const value = Math.exp(price.lnValue);
        let high = Math.exp(Math.min(
            quantile(price.sale, model.value.freedom, price.looked ? plan.upper : plan.upper_held),
            price.lnValue + plan.upper_normal * plan.most_doubt,
        ));
        if (bike.newPrice !== null) high = Math.min(high, plan.most_of_new * bike.newPrice);
        const low = Math.min(plan.lowest * value * Math.exp(-plan.poorest * doubt), high);
        const step = pricePoints(value, plan, model.currency);
        const lowestPoint = Math.max(Math.ceil(low / step - 1e-9), 1);
        return (Math.max(Math.floor(high / step + 1e-9), lowestPoint) * step) / value;
    }

    // Present value and mean sale under the best plan, in the currency's units.
    function planOf(bike, price, model) {
        const { plan } = model;
        const style = model.value.design.styles[bike.style];
        const rare = bike.size !== null && SIZES[bike.size].startsWith('X');
        const tier = bike.tier === null ? model.value.design.base[2] : bike.tier;
        const kind = plan.kinds.find((one) => one.styles.includes(style) && one.tier === tier && one.rare_size === rare);
        const doubt = Math.min(Math.sqrt(price.bikeVariance), plan.most_doubt);
        const top = highest(bike, price, doubt, model);
        const lnTops = plan.tops.map(Math.log);
        const [p, d, t] = [around(plan.paces, kind.pace), around(plan.doubts, doubt), around(lnTops, Math.log(top))];
        const cell = (table, i, j, k) => table[(i * plan.doubts.length + j) * plan.tops.length + k];
        const mix = ([below, above, part], at) => (1 - part) * at(below) + part * at(above);
        // Below all asks of the grid the only ask goes down with the bike's price.
        const beyond = Math.min(Math.log(top) - lnTops[0], 0);
        const over = (table, beside) => beside + beyond
            + mix(p, (i) => mix(d, (j) => mix(t, (k) => cell(table, i, j, k))));
        const value = Math.exp(price.lnValue);
        return { present: value * Math.exp(over(plan.present, kind.present)), sale: value * Math.exp(over(plan.sale, kind.sale)) };
    }

    // ---- the answers ------------------------------------------------------------

    return (model) => {
        const scale = 10 ** model.currency.decimals;
        const money = (units) => {
            const minor = Math.sign(units) * Math.round(Math.abs(units) * scale);
            return Number.isFinite(minor) && Math.abs(minor) <= 9e15 ? minor / scale : null;
        };
        const worth = (price) => {
            const end = (p) => money(Math.exp(quantile(price.sale, model.value.freedom, p)));
            const { level } = model.value;
            if (price === null) return { median: null, low: null, high: null, level };
            const held = price.looked ? level : model.value.held_level;
            return { median: money(Math.exp(price.lnValue)), low: end((1 - held) / 2), high: end((1 + held) / 2), level };
        };

        // What it is worth.
        function value(facts) {
            const bike = readBike(facts, model);
            return worth(lookedAt(bike, priced(bike, model), model));
        }

        // The bike as found, and as it is once the repairs have made it better by its
        // condition and its tier, the same otherwise.
        function foundAndDone(asFound, done) {
            const found = readBike(asFound, model);
            const after = readBike({ ...asFound, condition: (done || {}).condition, tier: (done || {}).tier }, model);
            const better = (before, now) => (now !== null && (before === null || now > before) ? now : before);
            const { condition, tier } = found;
            return [found, { ...found, condition: better(condition, after.condition), tier: better(tier, after.tier) }];
        }

        // What it is worth when the repairs are done: less than one that always was so good.
        function whenDone({ as_found: asFound, done = {} }) {
            const [found, bike] = foundAndDone(asFound, done);
            return worth(model.plan ? repaired(bike, found, model) : priced(bike, model));
        }

        // What the best plan brings for a bike as it is.
        function plan(facts) {
            const bike = readBike(facts, model);
            const price = lookedAt(bike, priced(bike, model), model);
            if (price === null || !model.plan) return { expected_sale: null, present_value: null };
            const { present, sale } = planOf(bike, price, model);
            return { expected_sale: money(sale), present_value: money(present) };
        }

        // What is left before the bike is paid for, if it is sold as `bike`.
        function leaves(bike, before, repairs) {
            const price = repaired(bike, before, model);
            const { present, sale } = planOf(bike, price, model);
            const spread = model.plan.largest_variance;
            const meanSale = sum(price.sale.map((t) => t.weight * Math.exp(t.location + Math.min(t.scale ** 2, spread) / 2)));
            const poor = Math.exp(quantile(price.sale, model.value.freedom, model.plan.quantile)) * (sale / meanSale);
            const heldBack = -model.plan.applied * sale;
            const net = present - repairs;
            return { net, mean: net - heldBack, cautious: net - heldBack + poor - sale };
        }

        // The most to pay for a bike as found that the repairs make as `done`. Repairs that
        // bring less than they cost are left undone.
        function mostToPay({ as_found: asFound, done = {}, repairs, margin }) {
            const [found, bike] = foundAndDone(asFound, done);
            const cost = blank(repairs) ? 0 : readMoney(repairs, model.currency, 'Repairs');
            const kept = blank(margin) ? 0 : readMoney(margin, model.currency, 'Margin');
            if (!model.plan || priced(found, model) === null) return { mean: null, cautious: null, repair: null };
            const [asItIs, better] = [leaves(found, found, 0), leaves(bike, found, cost)];
            const best = better.net > asItIs.net ? better : asItIs;
            return {
                mean: money(Math.max(best.mean - kept, 0)),
                cautious: money(Math.max(best.cautious - kept, 0)),
                repair: best === better,
            };
        }

        return { value, when_done: whenDone, most_to_pay: mostToPay, plan };
    };
})();
