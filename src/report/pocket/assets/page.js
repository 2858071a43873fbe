// The screens of the page for the phone: reads the fields, asks `window.wheelworth` for
// the numbers, keeps the notes. Whatever somebody typed is only ever set as text.
(function () {
    'use strict';

    const STYLES = ['road', 'hybrid', 'mountain', 'city', 'cruiser', 'touring', 'folding', 'kids', 'other'];
    const CONDITIONS = [
        ['donor', 'good only for its parts'],
        ['project', 'needs repair before it is ridden'],
        ['rider', 'safe and serviced, visibly worn'],
        ['tidy', 'fully serviced, light marks'],
        ['mint', 'as new'],
    ];
    // What such bikes usually have: common practice, no source.
    const TIERS = [
        ['basic', 'plain steel, 5 to 7 gears at the back, simple rim or back-pedal brake'],
        ['sport', 'aluminium or light steel, 7 or 8 gears, rim brakes with long arms'],
        ['club', 'light frame, 8 to 10 gears, good rim brakes or cable discs'],
        ['race', 'light frame with a carbon fork, 10 or 11 gears'],
        ['pro', 'carbon or titanium, the best parts, 11 gears or more'],
    ];
    const SIZES = ['XS', 'S', 'M', 'L', 'XL'];
    const TEXTS = ['made', 'seat_tube', 'repairs', 'price', 'margin', 'new_price', 'label', 'note'];
    const CHOICES = ['style', 'tier', 'found', 'done'];
    const KEY = 'wheelworth-pocket';
    const DRAFT = 'wheelworth-pocket-open';

    let W;
    let model;
    const $ = (id) => document.getElementById(id);

    // ---- small things -----------------------------------------------------------

    /** An element with properties, attributes (names with a dash) and children; texts stay texts. */
    function el(tag, has, ...children) {
        const made = document.createElement(tag);
        for (const [name, value] of Object.entries(has || {})) {
            if (name === 'role' || name.includes('-')) made.setAttribute(name, value);
            else if (name === 'on') for (const [event, f] of Object.entries(value)) made.addEventListener(event, f);
            else made[name] = value;
        }
        for (const child of children) if (child !== null && child !== undefined) made.append(child);
        return made;
    }

    function empty(place, ...children) {
        while (place.firstChild) place.removeChild(place.firstChild);
        place.append(...children);
        return place;
    }

    const two = (n) => String(n).padStart(2, '0');
    const isoDay = (d) => `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
    const today = () => isoDay(new Date());

    function dayInWords(iso) {
        const months = 'January February March April May June July August September October November December'.split(' ');
        const [year, month, day] = iso.split('-').map(Number);
        return months[month - 1] ? `${day} ${months[month - 1]} ${year}` : iso;
    }

    /** Text of one line without what cannot be seen or printed, at most `most` characters. */
    function oneLine(text, most) {
        const printed = String(text).replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]+/g, ' ');
        return Array.from(printed, (c) => (/^[\ud800-\udfff]$/.test(c) ? '\ufffd' : c)).slice(0, most).join('').trim();
    }

    function listed(items) {
        if (items.length < 2) return items.join('');
        return `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`;
    }

    const decimals = () => model.currency.decimals;
    const code = () => model.currency.code;

    /** An amount to talk about: whole from 10 on. */
    function about(x) {
        return Math.abs(x) >= 10 || decimals() === 0 ? String(Math.round(x)) : x.toFixed(Math.min(decimals(), 2));
    }

    /** Rounded down, so that it never says more than there is. */
    function atMost(x) {
        if (x >= 10 || decimals() === 0) return Math.floor(x + 1e-9);
        return Math.floor(x * 2 + 1e-9) / 2;
    }

    /** An amount just as it was typed: 62 or 62.50. */
    function exact(x) {
        return Number.isInteger(x) ? String(x) : x.toFixed(decimals());
    }

    /** Reads an amount; null when nothing is written. */
    function amount(text) {
        const bare = text.replace(/[\s\u00a0]/g, '').replace(/^[€$£¥]|[€$£¥]$/g, '').replace(new RegExp(`^${code()}|${code()}$`, 'i'), '');
        if (!bare) {
            if (text.trim()) throw new Error(`'${text.trim()}' is no amount. Write it like 62.`);
            return null;
        }
        const parts = bare.match(/^(\d{1,9})(?:[.,](\d+))?$/);
        const like = decimals() ? '62 or 62.50' : '62';
        if (!parts) throw new Error(`'${text.trim()}' is no amount. Write it like ${like}, without a sign between thousands.`);
        const after = parts[2] || '';
        if (after.length > decimals() && /[^0]/.test(after.slice(decimals())) || after.length === 3 && decimals() < 3) {
            throw new Error(`'${text.trim()}' reads two ways or has too many decimals. Write it like ${like}.`);
        }
        return Number(`${parts[1]}.${after || 0}`);
    }

    const message = (error) => (error && error.message ? error.message : String(error));

    /** What value.js says against one feature, or nothing. Of an unknown style a hybrid's rules hold. */
    function against(facts) {
        try {
            W.value(Object.assign({}, facts, { style: facts.style || 'hybrid' }));
            return '';
        } catch (error) {
            return message(error);
        }
    }

    // ---- what is on the screen --------------------------------------------------

    let checks = [];

    const blank = () => ({
        style: '', made: '', seat_tube: '', tier: '', found: '', done: '', repairs: '', price: '',
        margin: typeof model.margin === 'number' ? exact(model.margin) : '', new_price: '', label: '', note: '',
        ticked: [], checks: {}, put_right: false, id: '',
    });
    let bike;
    /** The comp that is being corrected, or nothing. */
    let comp_id = '';

    /** The grown-ups' style that brings least, where nobody knows what it is. */
    function cheapest(condition) {
        const median = (style) => W.value(facts(condition, style)).median;
        return STYLES.filter((style) => style !== 'kids' && style !== 'other')
            .map((style) => [style, median(style)])
            .reduce((a, b) => (b[1] < a[1] ? b : a))[0];
    }

    function facts(condition, style) {
        const given = { style: bike.style || style, made: bike.made.trim(), tier: bike.tier, condition };
        given.seat_tube = bike.style === 'kids' ? '' : bike.seat_tube.trim();
        given.new_price = amount(bike.new_price);
        for (const name of Object.keys(given)) if (given[name] === '') given[name] = null;
        return given;
    }

    const checkOf = (key) => bike.checks[key] || { state: '', which: [], note: '' };
    const failed = () => checks.filter((one) => checkOf(one.key).state === 'fails');
    const open = () => checks.filter((one) => checkOf(one.key).state === '');
    const has_failed = (key) => checkOf(key).state === 'fails';
    const grade = (word) => CONDITIONS.findIndex((one) => one[0] === word) + 1;

    const FRAME_ENDS = 'The frame has failed: the bike is good only for its parts. Scrap the frame itself, and a fork, bar, stem or post that failed: never pass them on.';
    const NUMBER_ENDS = 'Its serial number is missing, defaced or in a register of stolen bikes. Neither buy nor sell it, whole or in parts, before the police or the register have said whose it is.';
    const RECALL_ENDS = 'Leave it until its recall is settled with the maker or your authority: what is recalled must not be passed on, whole or in parts.';

    /** What speaks against the bike at any price, gravest first: [in large letters, why]. */
    function barred() {
        if (has_failed('serial number')) return ['Leave it', NUMBER_ENDS];
        if (has_failed('frame')) return ['Do not buy it to ride', FRAME_ENDS];
        if (has_failed('recall')) return ['Leave it for now', RECALL_ENDS];
        return null;
    }

    const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);
    const names = (some) => listed(some.map((one) => one.name.toLowerCase()));

    /** Conditions as found and when done, as they count, with what to say of it. */
    function conditions() {
        const said = [];
        let found = bike.found;
        if (failed().length && (!found || grade(found) > 2)) {
            found = 'project';
            said.push('With a failed check it counts as a project as found.');
        }
        let done = bike.done;
        if (!done) {
            done = found === 'project' ? 'rider' : found;
            if (found === 'project') said.push('Counted as a rider when done.');
        } else if (found && grade(done) < grade(found)) {
            done = found;
            said.push('When done it is no better than as found.');
        }
        return { found, done, said };
    }

    function repairsTold() {
        const typed = amount(bike.repairs);
        const usual = model.repairs.filter((one) => bike.ticked.includes(one.job));
        const sum = usual.reduce((all, one) => all + one.cost, typed || 0);
        return { sum, told: typed !== null || usual.length > 0 };
    }

    /** The answer: how it stands, in large letters, what it is worth, why. */
    function answer() {
        const stop = barred();
        let worth = '';
        let most;
        let counts;
        let repairs;
        let asking;
        let margin;
        try {
            for (const name of ['repairs', 'price', 'margin', 'new_price']) {
                try {
                    amount(bike[name]);
                } catch (error) {
                    throw new Error(`${$(name).labels[0].textContent}: ${message(error)}`);
                }
            }
            counts = conditions();
            repairs = repairsTold();
            asking = amount(bike.price);
            margin = amount(bike.margin) || 0;
            const nothing = ['style', 'made', 'tier', 'found', 'seat_tube', 'new_price'].every((name) => !bike[name].trim());
            if (nothing && !stop) return { kind: 'open', say: 'What is it?', worth: '', why: 'Tap what it is, and the answer moves with it.' };
            const style = bike.style || cheapest(counts.done);
            if (!bike.style) counts.said.push(`Counted as ${style}, which brings least: say what it is.`);
            const done = W.value(facts(counts.done, style));
            if (done.median === null || done.median === undefined) {
                if (stop) return { kind: 'no', say: stop[0], worth: '', why: stop[1] };
                return { kind: 'open', say: 'Cannot say', worth: '', why: `Nothing is known of prices in ${code()} yet. Note what you see, and import it at home.` };
            }
            const four = Math.round(done.level * 100) === 80 ? 'four of five sales' : `${Math.round(done.level * 100)} % of sales`;
            const better = counts.done !== counts.found;
            worth = `Worth ${about(done.median)} ${code()}${better ? ' when done' : ''}, ${about(done.low)} to ${about(done.high)} in ${four}`;
            if (better && counts.found) {
                const found = W.value(facts(counts.found, style));
                worth += `; as found ${about(found.median)}`;
            }
            if (stop) return { kind: 'no', say: stop[0], worth: '', why: stop[1] };
            most = W.most_to_pay({ as_found: facts(counts.found, style), done: facts(counts.done, style), repairs: repairs.sum, margin });
        } catch (error) {
            if (stop) return { kind: 'no', say: stop[0], worth: '', why: stop[1] };
            return { kind: 'open', say: 'Look again', worth: '', why: message(error) };
        }
        return Object.assign({ worth }, judged(most, { asking, margin, repairs, counts }));
    }

    /** Buy up to what even a poor sale allows, as `wheelworth offer` does. */
    function judged(most, { asking, margin, repairs, counts }) {
        if (most.mean === null || most.cautious === null) {
            return { kind: 'open', say: 'Cannot say', why: 'Nothing is known yet of how long bikes take to sell here.' };
        }
        if (most.repair === false && repairs.sum > 0) counts.said.push('The repairs cost more than they bring: counted without them.');
        const more = counts.said.length ? ` ${counts.said.join(' ')}` : '';
        const bad = failed();
        if (bad.length && !bike.put_right) {
            return {
                kind: 'no',
                say: 'Do not buy it yet',
                why: `${capital(names(bad))} failed, and nobody may ride it before that is repaired. Add the cost to the repairs and say so in the check.`,
            };
        }
        const cautious = atMost(most.cautious);
        const mean = about(atMost(most.mean));
        const leaves = margin ? `leaves ${exact(margin)}` : 'covers its costs';
        if (!(most.mean > 0)) {
            return { kind: 'no', say: 'Leave it', why: `Even as a gift an average sale would not ${margin ? `leave ${exact(margin)}` : 'cover its costs'}.${more}` };
        }
        const average = `An average sale ${leaves} up to ${mean}`;
        if (!(cautious > 0)) {
            return { kind: 'no', say: 'Leave it', why: `${average}, a poor one (one in five) at no price.${more}` };
        }
        const fine = `Up to ${about(cautious)} it would be fine.`;
        if (asking !== null && asking > most.mean) {
            return { kind: 'no', say: 'Leave it', why: `${average} only. ${fine}${more}` };
        }
        if (asking !== null && asking > most.cautious) {
            return { kind: 'no', say: 'Leave it', why: `${average}, a poor one (one in five) would not at ${exact(asking)}. ${fine}${more}` };
        }
        const up_to = asking !== null && asking > cautious ? exact(asking) : about(cautious);
        const why = `Even a poor sale (one in five) ${leaves}; an average one does up to ${mean}.${more}`;
        if (!repairs.told && counts.found && grade(counts.found) <= 2 && grade(counts.done) > grade(counts.found)) {
            return { kind: 'open', say: `${up_to}, less the repairs`, why: `It needs repair before it is ridden: say what that costs.${more}` };
        }
        if (bad.length) {
            return { kind: 'open', say: `To repair only: ${up_to}`, why: `${capital(names(bad))} failed: nobody rides it before that is repaired. ${why}` };
        }
        return { kind: 'yes', say: `Pay up to ${up_to}`, why };
    }

    /** What the quick check comes to. */
    function verdict() {
        const stop = barred();
        if (stop) return { kind: 'no', say: stop[0], why: stop[1] + (has_failed('frame') ? ' Take it apart: do not spend on it. Mark the frame so that nobody builds it up.' : '') };
        const bad = failed();
        const to_see = open();
        const rest = to_see.length ? ` Not looked at: ${names(to_see)}. That never counts as fine.` : '';
        if (bad.length) return { kind: 'no', say: 'Do not ride it', why: `${capital(names(bad))} failed.${rest}` };
        if (to_see.length === checks.length) return { kind: 'open', say: 'Not looked at', why: 'Nothing has been looked at. That never counts as fine.' };
        if (to_see.length) return { kind: 'open', say: `${checks.length - to_see.length} of ${checks.length} fine`, why: rest.trim() };
        return { kind: 'yes', say: 'Nothing found', why: 'Everything asked here is fine as far as you looked. It certifies nothing: the whole sheet and a road test come before anybody rides it.' };
    }

    /** A live region that waits until the typing rests. */
    function speaker(place) {
        let timer;
        return (text) => {
            clearTimeout(timer);
            timer = setTimeout(() => { if ($(place).textContent !== text) $(place).textContent = text; }, 900);
        };
    }
    const speak = speaker('spoken');
    const speakVerdict = speaker('verdict_spoken');

    function showAnswer() {
        const now = answer();
        $('answer').className = `answer ${now.kind}`;
        $('say').textContent = now.say;
        $('worth').textContent = now.worth;
        const left_open = now.kind === 'yes' && open().length;
        $('why').textContent = now.why;
        $('safety').textContent = left_open ? `Safety: ${left_open} of ${checks.length} checks not looked at.` : '';
        speak([now.say, now.worth, now.why, $('safety').textContent].filter((part) => part).map((part) => (/[.?]$/.test(part) ? part : `${part}.`)).join(' '));
        const seen = verdict();
        $('verdict').className = `answer ${seen.kind}`;
        $('verdict_say').textContent = seen.say;
        $('verdict_why').textContent = seen.why;
        speakVerdict(`${seen.say}. ${seen.why}`);
        return now;
    }

    // ---- fields -----------------------------------------------------------------

    /** Radios in a fieldset; `options` of [value, name, means]. */
    function choice(name, legend, options, chosen, use, wide) {
        const rows = options.map(([value, called, means]) => {
            const input = el('input', { type: 'radio', name, value, checked: value === chosen(), on: { change: () => use(value) } });
            const words = el('span', null, el('b', null, called), means ? el('span', { className: 'means' }, means) : null);
            return el('label', { className: value ? 'pick' : 'pick none' }, input, words);
        });
        return el('fieldset', { className: wide ? 'wide' : '' }, el('legend', null, legend), el('div', { className: 'picks' }, ...rows));
    }

    const withUnknown = (options) => options.concat([['', 'not known']]);

    function quick(place, input, offers) {
        const buttons = offers.map(([value, called]) => el('button', {
            type: 'button',
            'aria-pressed': String(input.value.trim() === value),
            on: {
                click: () => {
                    input.value = input.value.trim() === value ? '' : value;
                    input.dispatchEvent(new Event('input', { bubbles: true }));
                },
            },
        }, called));
        empty(place, ...buttons);
        input.addEventListener('input', () => buttons.forEach((button, at) => {
            button.setAttribute('aria-pressed', String(input.value.trim() === offers[at][0]));
        }));
    }

    function wrong(input, says) {
        $(`${input.id}_wrong`).textContent = says;
        if (says) input.setAttribute('aria-invalid', 'true');
        else input.removeAttribute('aria-invalid');
        return !says;
    }

    function agesFrom(year) {
        const range = (from, to) => `${year - from}-${year - to}`;
        return [
            [range(3, 0), 'up to 3 years'], [`~${year - 5}`, 'about 5'], [`~${year - 10}`, 'about 10'],
            [range(18, 12), 'about 15'], [range(25, 16), 'about 20'], ['90s', '90s'], ['80s', '80s'], ['70s', '70s'],
        ];
    }

    /** The year from which 'about ten years' is counted: this one, unless the clock is behind the page. */
    const thisYear = () => Math.max(new Date().getFullYear(), Number(model.made_on.slice(0, 4)));

    /** Says what cannot be read beside its field. */
    function checkFields() {
        for (const name of ['repairs', 'price', 'margin', 'new_price']) {
            let says = '';
            try { amount(bike[name]); } catch (error) { says = message(error); }
            wrong($(name), says);
        }
        wrong($('made'), bike.made.trim() ? against({ made: bike.made.trim() }) : '');
        const sized = bike.style !== 'kids' && bike.seat_tube.trim();
        wrong($('seat_tube'), sized ? against({ style: bike.style, seat_tube: bike.seat_tube.trim() }) : '');
    }

    function changed() {
        $('size_field').hidden = bike.style === 'kids';
        checkFields();
        repairsWords();
        showChecks();
        keepDraft();
        return showAnswer();
    }

    function repairsWords() {
        const usual = model.repairs.filter((one) => bike.ticked.includes(one.job));
        $('repairs_label').textContent = usual.length ? 'Other repairs' : 'What the repairs cost';
        let says = decimals() && !usual.length ? '0 when no new parts are needed' : '';
        try {
            if (usual.length) says = `Together ${about(repairsTold().sum)} ${code()}`;
        } catch (error) { says = ''; }
        $('repairs_help').textContent = says || 'In whole amounts';
    }

    function drawJobs() {
        if (!model.repairs.length) return;
        const rows = model.repairs.map((one) => {
            const tick = el('input', {
                type: 'checkbox',
                checked: bike.ticked.includes(one.job),
                on: {
                    change: () => {
                        bike.ticked = bike.ticked.filter((job) => job !== one.job).concat(tick.checked ? [one.job] : []);
                        changed();
                    },
                },
            });
            return el('label', { className: 'pick' }, tick, el('span', null, one.job), el('span', { className: 'cost' }, exact(one.cost)));
        });
        empty($('jobs_place'), el('p', { className: 'help' }, 'What such work usually costs you'), el('div', { className: 'picks jobs' }, ...rows));
    }

    /** Fills the form anew from the bike. */
    function drawBike() {
        for (const name of TEXTS) if ($(name)) $(name).value = bike[name];
        const put = (name, legend, options, wide) => {
            const use = (value) => { bike[name] = value; changed(); };
            empty($(`${name}_place`), choice(name, legend, withUnknown(options), () => bike[name], use, wide));
        };
        put('style', 'What is it', STYLES.map((word) => [word, word]));
        put('tier', 'How good its parts are', TIERS.map(([word, means]) => [word, word, means]), true);
        put('found', 'Condition as found', CONDITIONS.map(([word, means]) => [word, word, means]), true);
        put('done', 'Condition when done', CONDITIONS.map(([word]) => [word, word]));
        quick($('made_quick'), $('made'), agesFrom(thisYear()));
        quick($('seat_tube_quick'), $('seat_tube'), SIZES.map((size) => [size, size]));
        drawJobs();
        drawChecks();
        drawNoteFields();
        changed();
    }

    // ---- the quick check --------------------------------------------------------

    /** The paper form's rows are the list: one source for both. */
    function readChecks() {
        let before = '';
        return Array.from(document.querySelectorAll('#gates tbody tr'), (row) => {
            const name = row.querySelector('th').textContent;
            let look = row.querySelector('td').textContent.replace(" None on it: write 'none'.", '');
            // 'The same.' is of the row above.
            look = look.replace(/^The same\./, before);
            before = look;
            return { key: name.toLowerCase(), name, look, items: row.dataset.items.split(','), none: row.dataset.none || '' };
        });
    }

    function setCheck(key, change) {
        bike.checks[key] = Object.assign({}, checkOf(key), change);
        changed();
    }

    function drawChecks() {
        const rows = checks.map((one) => {
            const options = [['fine', 'fine'], ['fails', 'fails'], ['', 'not looked']];
            if (one.none) options.splice(2, 0, ['none', one.none]);
            const set = choice(`check ${one.key}`, one.name, options, () => checkOf(one.key).state, (state) => setCheck(one.key, { state }));
            set.className = 'gate';
            set.dataset.check = one.key;
            set.insertBefore(el('p', { className: 'look' }, one.look), set.lastChild);
            set.append(whichFailed(one), noteOf(one));
            return set;
        });
        const right = el('input', {
            type: 'checkbox', id: 'put_right', checked: bike.put_right,
            on: { change: () => { bike.put_right = right.checked; changed(); } },
        });
        const label = el('label', { className: 'pick', id: 'put_right_row' }, right, el('span', { id: 'put_right_words' }));
        empty($('checks'), ...rows, label);
    }

    /** Which part of several it was that failed. */
    function whichFailed(one) {
        const rows = one.items.length < 2 ? [] : one.items.map((item) => {
            const tick = el('input', {
                type: 'checkbox',
                checked: checkOf(one.key).which.includes(item),
                on: {
                    change: () => {
                        const which = checkOf(one.key).which.filter((other) => other !== item);
                        setCheck(one.key, { which: tick.checked ? which.concat([item]) : which });
                    },
                },
            });
            return el('label', { className: 'pick' }, tick, el('span', null, item));
        });
        return el('div', { className: 'which picks', role: 'group', 'aria-label': `What of it fails: ${one.name}` }, ...rows);
    }

    function noteOf(one) {
        const id = `note ${one.key}`.replace(/ /g, '_');
        const says = one.key === 'recall' ? 'Where you looked' : 'What you saw';
        const input = el('input', {
            id, type: 'text', maxLength: 120, value: checkOf(one.key).note,
            on: { input: () => setCheck(one.key, { note: input.value }) },
        });
        return el('div', { className: 'field seen' }, el('label', { htmlFor: id }, says), input);
    }

    function showChecks() {
        const ended = has_failed('frame');
        for (const set of document.querySelectorAll('fieldset.gate')) {
            const { state } = checkOf(set.dataset.check);
            set.dataset.state = state || 'open';
            // A failed frame ends it; a number still says whose the bike is.
            set.hidden = ended && !['frame', 'serial number'].includes(set.dataset.check);
            const which = set.querySelector('.which');
            which.hidden = state !== 'fails' || !which.firstChild;
            set.querySelector('.seen').hidden = !(state === 'fails' || set.dataset.check === 'recall' && state === 'fine');
        }
        const bad = barred() ? [] : failed();
        $('put_right_row').hidden = !bad.length;
        $('put_right_words').textContent = `The repairs I counted put this right: ${names(bad)}`;
    }

    // ---- notes in the browser's storage -----------------------------------------

    let notes = { bikes: [], comps: [] };
    /** What the storage held when it was last read or written. */
    let kept = null;
    let kept_ids = [];
    let keeps = true;

    const DENIED = 'This browser keeps nothing for this page: what you note is gone when you close it. Hand it over before that.';
    const FULL = 'There is no room left in this browser: the last change is not kept. Hand over what is noted, then delete some of it.';
    const CLEARED = 'What was kept had been deleted outside this page. ';

    const text = (value, most) => (typeof value === 'string' ? value.slice(0, most || 200) : '');

    /** A bike from the storage, whatever stands there. */
    function asBike(raw) {
        const made = blank();
        for (const name of TEXTS.concat(CHOICES, ['id', 'day', 'said'])) made[name] = text(raw[name], 300);
        made.ticked = Array.isArray(raw.ticked) ? raw.ticked.map((one) => text(one)) : [];
        made.put_right = raw.put_right === true;
        for (const one of checks) {
            const was = raw.checks && raw.checks[one.key];
            if (was) made.checks[one.key] = { state: text(was.state), which: Array.isArray(was.which) ? was.which.map((w) => text(w)) : [], note: text(was.note) };
        }
        return made;
    }

    const COMP = ['id', 'day', 'style', 'ask', 'where', 'made', 'condition', 'tier', 'seat_tube', 'listed_on'];

    function asComp(raw) {
        const made = {};
        for (const name of COMP) made[name] = text(raw[name]);
        return made;
    }

    function parse(stored) {
        const raw = JSON.parse(stored);
        const objects = (list) => list.filter((one) => one && typeof one === 'object' && typeof one.id === 'string' && one.id);
        return { bikes: objects(raw.bikes).map(asBike), comps: objects(raw.comps).map(asComp) };
    }

    const ids = (some) => some.bikes.concat(some.comps).map((one) => one.id);

    function readNotes() {
        let stored;
        try {
            stored = window.localStorage.getItem(KEY);
            window.localStorage.setItem(`${KEY}-try`, '1');
            window.localStorage.removeItem(`${KEY}-try`);
        } catch (error) {
            keeps = stored !== undefined;
            tell(keeps ? FULL : DENIED);
        }
        if (!stored) return;
        try {
            notes = parse(stored);
            kept = stored;
            kept_ids = ids(notes);
        } catch (error) {
            // Left for whoever can read it; the new notes take its place.
            try { window.localStorage.setItem(`${KEY}-unreadable`, stored); } catch (full) { keeps = false; }
            tell('What was kept here cannot be read any more. It is set aside, and you start with an empty list.');
        }
    }

    /** Changes the notes: what another window wrote is taken up first. Says whether it is kept. */
    function change(how, done) {
        let cleared = false;
        try {
            const now = window.localStorage.getItem(KEY);
            cleared = now === null && kept !== null;
            if (now !== null && now !== kept) takeUp(now);
        } catch (error) { /* told below, by the writing */ }
        how(notes);
        const told = write();
        drawNotes();
        tell(told || (cleared ? `${CLEARED}What is still on this screen is kept again.` : done));
        return !told;
    }

    /** Puts together what another window wrote and what could not be kept here. */
    function takeUp(stored) {
        const theirs = parse(stored);
        const unkept = (list, theirs_list) => list.filter((one) => !kept_ids.includes(one.id) && !theirs_list.some((other) => other.id === one.id));
        notes = {
            bikes: theirs.bikes.concat(unkept(notes.bikes, theirs.bikes)),
            comps: theirs.comps.concat(unkept(notes.comps, theirs.comps)),
        };
        kept = stored;
        kept_ids = ids(theirs);
    }

    /** Writes the notes; what went wrong, or nothing. */
    function write() {
        const stored = JSON.stringify(notes);
        try {
            window.localStorage.setItem(KEY, stored);
            if (window.localStorage.getItem(KEY) !== stored) throw new Error('it was not kept');
            kept = stored;
            kept_ids = ids(notes);
            keeps = true;
            return '';
        } catch (error) {
            keeps = false;
            return /quota/i.test(`${error && error.name} ${error && error.message}`) ? FULL : DENIED;
        }
    }

    let draft_timer;
    function keepDraft() {
        clearTimeout(draft_timer);
        draft_timer = setTimeout(() => {
            try { window.localStorage.setItem(DRAFT, JSON.stringify(bike)); } catch (error) { /* told where notes are kept */ }
        }, 300);
    }

    function readDraft() {
        try {
            const stored = window.localStorage.getItem(DRAFT);
            if (stored) return asBike(JSON.parse(stored));
        } catch (error) { /* begin anew */ }
        return blank();
    }

    let told_timer;
    function tell(words) {
        clearTimeout(told_timer);
        $('told').textContent = words || '';
        // What is wrong stays; what was done goes again.
        if (words && keeps) told_timer = setTimeout(() => { $('told').textContent = ''; }, 12000);
    }

    /** An id that no other note of this phone or another has: the day, a number, four letters. */
    function newId(list) {
        const day = today();
        const letters = 'abcdefghjkmnpqrstuvwxyz23456789';
        const random = new Uint8Array(4);
        if (window.crypto && window.crypto.getRandomValues) window.crypto.getRandomValues(random);
        else random.forEach((_, at) => { random[at] = Math.floor(Math.random() * 256); });
        const number = list.filter((one) => one.id.startsWith(day)).length + 1;
        return `${day}-${number}-${Array.from(random, (n) => letters[n % letters.length]).join('')}`;
    }

    function drawNoteFields() {
        const noted = notes.bikes.some((one) => one.id === bike.id);
        const draw = (place) => {
            const input = (name, label) => {
                const id = place === 'note_pay' ? name : `${name}_again`;
                const field = el('input', { id, type: 'text', maxLength: name === 'note' ? 200 : 60, value: bike[name], on: { input: () => {
                    bike[name] = field.value;
                    const other = $(place === 'note_pay' ? `${name}_again` : name);
                    if (other) other.value = field.value;
                    keepDraft();
                } } });
                return el('div', { className: 'field' }, el('label', { htmlFor: id }, label), field);
            };
            const buttons = el('p', { className: 'buttons' },
                el('button', { type: 'button', className: 'main', on: { click: noteBike } }, noted ? 'Keep the changes' : 'Note this bike'),
                el('button', { type: 'button', on: { click: nextBike } }, 'Next bike'));
            empty($(place), input('label', 'Your name for it'), input('note', 'A note'), buttons);
        };
        draw('note_pay');
        draw('note_check');
    }

    function noteBike() {
        const now = showAnswer();
        const again = notes.bikes.some((one) => one.id === bike.id);
        if (!again) bike.id = newId(notes.bikes);
        const copy = asBike(JSON.parse(JSON.stringify(bike)));
        copy.day = (again && notes.bikes.find((one) => one.id === bike.id).day) || today();
        copy.label = oneLine(bike.label, 60);
        copy.note = oneLine(bike.note, 200);
        copy.said = ['Look again', 'What is it?'].includes(now.say) ? '' : now.worth ? `${now.say}. ${now.worth}` : now.say;
        change((all) => {
            const at = all.bikes.findIndex((one) => one.id === copy.id);
            if (at < 0) all.bikes.push(copy);
            else all.bikes[at] = copy;
        }, again ? 'Changes kept.' : 'Noted. It stands under Noted.');
        drawNoteFields();
        keepDraft();
    }

    function nextBike() {
        const before = bike;
        bike = blank();
        bike.margin = before.margin;
        drawBike();
        window.scrollTo(0, 0);
    }

    // ---- comps ------------------------------------------------------------------

    function drawComp(comp) {
        comp_id = comp ? comp.id : '';
        const now = comp || { style: '', ask: '', where: '', made: '', condition: '', tier: '', seat_tube: '', listed_on: '' };
        empty($('comp_style_place'), choice('comp_style', 'What is it', STYLES.map((word) => [word, word]), () => now.style, () => {}));
        for (const name of ['ask', 'where', 'made', 'condition', 'tier', 'seat_tube', 'listed_on']) $(`comp_${name}`).value = now[name];
        const wheres = notes.comps.map((one) => one.where).filter((where) => where).reverse();
        const offers = Array.from(new Set(wheres)).slice(0, 4).map((where) => [where, where]);
        $('comp_where_quick').hidden = !offers.length;
        quick($('comp_where_quick'), $('comp_where'), offers);
        for (const name of ['ask', 'made', 'seat_tube', 'listed_on']) wrong($(`comp_${name}`), '');
        $('comp_wrong').textContent = '';
        $('comp_title').textContent = comp ? 'Correct a bike seen for sale' : 'A bike seen for sale';
        $('comp_drop').hidden = !comp;
        $('comp_more').open = Boolean(comp && (comp.made || comp.condition || comp.tier || comp.seat_tube || comp.listed_on));
    }

    /** The comp as typed, or null with what is wrong said beside its fields. */
    function compTyped() {
        const style = (document.querySelector('input[name=comp_style]:checked') || { value: '' }).value;
        const typed = { style };
        for (const name of ['ask', 'where', 'made', 'condition', 'tier', 'seat_tube', 'listed_on']) typed[name] = oneLine($(`comp_${name}`).value, 80);
        const was = notes.comps.find((one) => one.id === comp_id);
        typed.id = was ? was.id : newId(notes.comps);
        typed.day = was ? was.day : today();
        let says = '';
        try {
            const ask = amount(typed.ask);
            if (ask === null) says = 'Write what is asked for it.';
            else if (ask === 0) says = 'Write an amount above 0.';
            else typed.ask = exact(ask);
        } catch (error) { says = message(error); }
        let fine = wrong($('comp_ask'), says);
        fine = wrong($('comp_made'), typed.made ? against({ made: typed.made }) : '') && fine;
        fine = wrong($('comp_seat_tube'), typed.seat_tube ? against({ style, seat_tube: typed.seat_tube }) : '') && fine;
        fine = wrong($('comp_listed_on'), typed.listed_on > typed.day ? 'Not after the day on which you saw it.' : '') && fine;
        $('comp_wrong').textContent = style ? '' : 'Tap what it is.';
        if (!fine) $('comp_more').open = $('comp_more').open || Boolean($('comp_more').querySelector('[aria-invalid]'));
        return fine && style ? typed : null;
    }

    function saveComp(event) {
        event.preventDefault();
        const typed = compTyped();
        if (!typed) {
            const first = document.querySelector('#comp [aria-invalid]') || document.querySelector('input[name=comp_style]');
            first.focus();
            return;
        }
        change((all) => {
            const at = all.comps.findIndex((one) => one.id === typed.id);
            if (at < 0) all.comps.push(typed);
            else all.comps[at] = typed;
        }, comp_id ? 'Changes kept.' : 'Saved.');
        drawComp(null);
        $('comps_title').focus({ preventScroll: false });
    }

    // ---- lists ------------------------------------------------------------------

    /** The note that waits for a second tap before it is deleted. */
    let to_delete = '';

    function noteRow(kind, one, head, lines, act, actWords) {
        const remove = () => {
            to_delete = '';
            change((all) => { all[kind] = all[kind].filter((other) => other.id !== one.id); }, 'Deleted.');
            if (kind === 'comps' && comp_id === one.id) drawComp(null);
            if (kind === 'bikes' && bike.id === one.id) { bike.id = ''; drawNoteFields(); keepDraft(); }
            $(`${kind}_title`).focus();
        };
        const ask = (id, focus) => () => { to_delete = id; drawNotes(); $(`${focus} ${one.id}`).focus(); };
        const buttons = to_delete === one.id
            ? [el('button', { type: 'button', className: 'bad', id: `yes ${one.id}`, on: { click: remove } }, 'Yes, delete it'),
                el('button', { type: 'button', on: { click: ask('', 'delete') } }, 'Keep it')]
            : [el('button', { type: 'button', 'aria-label': `${actWords}: ${head}`, on: { click: act } }, actWords),
                el('button', { type: 'button', id: `delete ${one.id}`, 'aria-label': `Delete: ${head}`, on: { click: ask(one.id, 'yes') } }, 'Delete')];
        const unkept = kept_ids.includes(one.id) ? null : el('p', { className: 'wrong' }, 'Not kept: gone when this page closes.');
        return el('li', null, el('p', { className: 'head' }, head), ...lines.filter((line) => line).map((line) => el('p', { className: 'quiet' }, line)), unkept, el('p', { className: 'buttons' }, ...buttons));
    }

    const called = (one) => one.label || [one.style || 'bike', one.made].filter((part) => part).join(', ');

    function bikeRow(one) {
        const bad = checks.filter((check) => one.checks[check.key] && one.checks[check.key].state === 'fails');
        const looked = checks.filter((check) => one.checks[check.key] && one.checks[check.key].state);
        const facts_told = [one.label ? one.style : '', one.label ? one.made : '', one.found && `as found ${one.found}`, one.price && `wanted ${one.price} ${code()}`];
        return noteRow('bikes', one, called(one), [
            facts_told.filter((part) => part).join(', '),
            one.said,
            bad.length ? `Failed: ${names(bad)}` : `${looked.length} of ${checks.length} checks looked at`,
            one.note,
            dayInWords(one.day),
        ], () => {
            bike = asBike(one);
            drawBike();
            show('pay');
        }, 'Open');
    }

    function compRow(one) {
        const more = [one.made, one.condition, one.tier, one.seat_tube].filter((part) => part).join(', ');
        return noteRow('comps', one, `${one.style}, ${one.ask} ${code()}`, [
            more, [one.where, dayInWords(one.day)].filter((part) => part).join(', '),
        ], () => { drawComp(one); $('comp_title').scrollIntoView(); $('comp_ask').focus({ preventScroll: true }); }, 'Correct');
    }

    function drawNotes() {
        const nothing = (words) => el('li', { className: 'quiet' }, words);
        empty($('comps'), ...(notes.comps.length ? notes.comps.slice().reverse().map(compRow) : [nothing('None yet.')]));
        empty($('bikes'), ...(notes.bikes.length ? notes.bikes.slice().reverse().map(bikeRow) : [nothing('None yet.')]));
        const count = notes.comps.length + notes.bikes.length;
        $('count').textContent = count ? `(${count})` : '';
        $('kept_words').textContent = keeps
            ? 'Kept in this browser, on this phone alone. Clearing the browser’s data deletes it, and some browsers delete it after a while: hand it over soon.'
            : DENIED;
        drawFiles();
    }

    // ---- files ------------------------------------------------------------------

    /** A cell: what a spreadsheet would run gets an apostrophe in front, as in the contract. */
    function cell(value) {
        let t = String(value);
        if (/^'*[=+\-@\t\r]/.test(t)) t = `'${t}`;
        return /[",\r\n]|^\s|\s$/.test(t) ? `"${t.replace(/"/g, '""')}"` : t;
    }

    const csv = (rows) => rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('');

    function compsCsv() {
        const head = ['listing', 'source', 'style', 'made', 'condition', 'tier', 'seat_tube', 'listed_on', 'first_seen', 'last_seen', 'ask', 'outcome'];
        return csv([head].concat(notes.comps.map((one) => [
            one.id, one.where, one.style, one.made, one.condition, one.tier, one.seat_tube, one.listed_on, one.day, one.day, one.ask, 'listed',
        ])));
    }

    /** The sheet of one bike, as `wheelworth inspect` reads it. */
    function sheetCsv(one) {
        const rows = [['item', 'result', 'measure', 'note']];
        const costs = one.repairs || one.ticked.length ? `repairs ${[one.ticked.join(', '), one.repairs].filter((part) => part).join(', ')}` : '';
        const about_it = [
            `looked at ${one.day}`, one.note, one.made && `made ${one.made}`, one.tier && `tier ${one.tier}`, one.found && `as found ${one.found}`,
            one.done && `when done ${one.done}`, costs, one.price && `seller wants ${one.price}`, one.said,
        ];
        rows.push(['bike', '', one.label || one.id, about_it.filter((part) => part).join('; ')]);
        if (one.style) rows.push(['style', '', one.style, '']);
        if (one.seat_tube.trim() && one.style !== 'kids' && !against({ style: one.style, seat_tube: one.seat_tube })) rows.push(['seat tube', '', one.seat_tube.trim(), '']);
        for (const check of checks) {
            const { state, which, note } = one.checks[check.key] || { state: '', which: [], note: '' };
            const failed_ones = which.filter((item) => check.items.includes(item));
            const seen = oneLine(note, 120);
            for (const item of check.items) {
                let result = 'unchecked';
                let says = '';
                if (state === 'fine') {
                    result = 'pass';
                    if (check.key === 'recall') says = `${one.day}${seen ? `, ${seen}` : ''}`;
                } else if (state === 'none') result = 'not_fitted';
                else if (state === 'fails' && failed_ones.includes(item)) [result, says] = ['fail', seen];
                else if (state === 'fails' && !failed_ones.length && item === check.items[0]) {
                    result = 'fail';
                    says = check.items.length > 1 ? [`${listed(check.items)}: one of them, not said which`, seen].filter((part) => part).join('; ') : seen;
                }
                rows.push([item, result, '', says]);
            }
        }
        return csv(rows);
    }

    function files() {
        const made = [];
        if (notes.comps.length) made.push({ name: `comps-${today()}.csv`, called: `Seen for sale (${notes.comps.length})`, csv: compsCsv() });
        for (const one of notes.bikes) made.push({ name: `inspection-${one.id.replace(/[^A-Za-z0-9-]/g, '')}.csv`, called: called(one), csv: sheetCsv(one) });
        return made;
    }

    const asFile = (one) => new File([one.csv], one.name, { type: 'text/csv' });

    function canShare(some) {
        try {
            return Boolean(navigator.canShare && navigator.share && navigator.canShare({ files: some.map(asFile) }));
        } catch (error) {
            return false;
        }
    }

    function download(one) {
        const link = el('a', { href: URL.createObjectURL(asFile(one)), download: one.name });
        document.body.append(link);
        link.click();
        link.remove();
        setTimeout(() => URL.revokeObjectURL(link.href), 60000);
        tell(`${one.name} is handed to the browser’s downloads. Look there before you delete anything here.`);
    }

    function share(some) {
        navigator.share({ files: some.map(asFile) }).then(() => tell('Handed over.'), (error) => {
            if (error.name !== 'AbortError') tell('Sharing did not work here. Save the file or copy its text.');
        });
    }

    function copy(one) {
        const by_hand = () => {
            $('by_hand').hidden = false;
            $('by_hand_text').value = one.csv;
            $('by_hand_text').focus();
            $('by_hand_text').select();
            tell(`Copying did not work here. Copy the text by hand into a file ${one.name}.`);
        };
        if (!navigator.clipboard || !navigator.clipboard.writeText) { by_hand(); return; }
        navigator.clipboard.writeText(one.csv).then(() => tell(`Copied. Put it into a file ${one.name}.`), by_hand);
    }

    function drawFiles() {
        $('by_hand').hidden = true;
        const all = files();
        const shares = all.length && canShare(all);
        const button = (words, of, click) => el('button', { type: 'button', 'aria-label': `${words}: ${of}`, on: { click } }, words);
        const rows = all.map((one) => el('div', { className: 'file' }, el('p', { className: 'head' }, one.called), el('p', { className: 'quiet' }, one.name), el('p', { className: 'buttons' },
            button('Save', one.called, () => download(one)),
            shares ? button('Share', one.called, () => share([one])) : null,
            button('Copy', one.called, () => copy(one)))));
        if (shares && all.length > 1) rows.unshift(el('p', null, el('button', { type: 'button', className: 'main', on: { click: () => share(all) } }, `Share all ${all.length} files`)));
        empty($('files'), ...(rows.length ? rows : [el('p', { className: 'quiet' }, 'Nothing to hand over yet.')]));
    }

    // ---- the page ---------------------------------------------------------------

    const PARTS = ['pay', 'check', 'noted'];

    function show(part, from_history) {
        for (const one of PARTS) $(one).hidden = one !== part;
        for (const link of document.querySelectorAll('nav a')) {
            if (link.hash === `#${part}`) link.setAttribute('aria-current', 'page');
            else link.removeAttribute('aria-current');
        }
        if (!from_history) {
            if (keeps) tell('');
            try { window.history.pushState(null, '', `#${part}`); } catch (error) { /* some viewers of files forbid it */ }
            window.scrollTo(0, 0);
        }
    }

    const asked = () => (PARTS.includes(window.location.hash.slice(1)) ? window.location.hash.slice(1) : 'pay');

    function drawMadeOn() {
        const days = Math.floor((Date.parse(today()) - Date.parse(model.made_on)) / 86400000);
        const old = days > (model.old_after_days || 60);
        document.documentElement.classList.toggle('old', old);
        $('made_on').textContent = old
            ? `These prices are ${days} days old, of ${dayInWords(model.made_on)}. Make the page anew at home before you trust them.`
            : `Prices of ${dayInWords(model.made_on)}, in ${code()}`;
        const { own_sales, comps } = model.rests_on;
        const count = (n, one, many) => `${n} ${n === 1 ? one : many}`;
        $('rests').textContent = own_sales + comps
            ? `Made on ${dayInWords(model.made_on)} from ${count(own_sales, 'sale', 'sales')} of your own and ${count(comps, 'bike', 'bikes')} seen for sale elsewhere.`
            : `Made on ${dayInWords(model.made_on)} without any record: a guess of the trade.`;
        empty($('book_says'), ...(model.book_says || []).map((says) => el('li', null, says)));
    }

    function listen() {
        $('bike').addEventListener('input', (event) => {
            const { name } = event.target;
            if (!TEXTS.includes(name)) return;
            bike[name] = event.target.value;
            changed();
        });
        $('bike').addEventListener('submit', (event) => event.preventDefault());
        $('checks').addEventListener('submit', (event) => event.preventDefault());
        $('comp').addEventListener('submit', saveComp);
        $('comp_drop').addEventListener('click', () => drawComp(null));
        $('print').addEventListener('click', () => window.print());
        for (const link of document.querySelectorAll('nav a')) {
            link.addEventListener('click', (event) => { event.preventDefault(); show(link.hash.slice(1)); });
        }
        window.addEventListener('popstate', () => show(asked(), true));
        window.addEventListener('storage', (event) => {
            if (event.key !== KEY && event.key !== null) return;
            if (event.newValue === null) {
                kept = null;
                kept_ids = [];
                tell(`${CLEARED}What you see here is not kept any more.`);
            } else {
                try { takeUp(event.newValue); } catch (error) { return; }
            }
            drawNotes();
        });
    }

    function options(select, list) {
        empty(select, el('option', { value: '' }, 'not known'), ...list.map(([word, means]) => el('option', { value: word }, `${word}: ${means}`)));
    }

    function begin() {
        W = window.wheelworth;
        if (!W && typeof wheelworthModel === 'function') {
            const read = JSON.parse($('model').textContent);
            W = window.wheelworth = Object.assign(wheelworthModel(read), { model: read });
        }
        model = Object.assign({ repairs: [], rests_on: { own_sales: 0, comps: 0 }, book_says: [] }, W.model);
        checks = readChecks();
        readNotes();
        bike = readDraft();
        options($('comp_condition'), CONDITIONS);
        options($('comp_tier'), TIERS);
        drawMadeOn();
        listen();
        drawBike();
        drawComp(null);
        drawNotes();
        show(asked(), true);
        document.documentElement.className += ' live';
        if (document.querySelector('link[rel=manifest]') && 'serviceWorker' in navigator) {
            navigator.serviceWorker.register('worker.js').catch(() => tell('This page could not be kept for use without a network. It works as long as it is open.'));
        }
    }

    try {
        begin();
    } catch (error) {
        document.documentElement.className = '';
        $('off').textContent = `This page's script could not start (${message(error)}), so it works nothing out and keeps nothing. Use it as the form below.`;
    }
}());
