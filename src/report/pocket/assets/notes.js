// What is noted on the way: kept in the browser's storage, handed over as the CSV files
// that 'wheelworth import comps' and 'wheelworth inspect' take. No screen.
const wheelworthNotes = function (answers, model, checks) {
    'use strict';

    const KEY = 'wheelworth-pocket';
    const DRAFT = 'wheelworth-pocket-open';
    const TEXTS = ['made', 'seat_tube', 'repairs', 'price', 'margin', 'new_price', 'label', 'note'];
    const COMP = ['id', 'day', 'style', 'ask', 'where', 'made', 'condition', 'tier', 'seat_tube', 'listed_on', 'last_day', 'last_ask', 'outcome'];

    const DENIED = 'This browser keeps nothing for this page: what you note is gone when you close it. Hand it over before that.';
    const FULL = 'There is no room left in this browser: the last change is not kept. Hand over what is noted, then delete some of it.';
    const CLEARED = 'What was kept had been deleted outside this page. ';

    const two = (n) => String(n).padStart(2, '0');

    function today() {
        const now = new Date();
        return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
    }

    /** Text of one line without what cannot be seen or printed, at most `most` characters. */
    function oneLine(text, most) {
        const printed = String(text).replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]+/g, ' ');
        return Array.from(printed, (c) => (/^[\ud800-\udfff]$/.test(c) ? '\ufffd' : c)).slice(0, most).join('').trim();
    }

    // ---- what a note is -------------------------------------------------------------

    const text = (value, most) => (typeof value === 'string' ? value.slice(0, most || 200) : '');
    const texts = (list) => (Array.isArray(list) ? list.map((one) => text(one)) : []);
    const oneOf = (words, value) => (words.includes(value) ? value : '');
    const first = (list) => list.map((one) => one[0]);

    function blank() {
        const made = { style: '', tier: '', found: '', done: '', ticked: [], checks: {}, put_right: false, id: '', day: '', said: '' };
        for (const name of TEXTS) made[name] = '';
        if (typeof model.margin === 'number') made.margin = answers.exact(model.margin);
        return made;
    }

    /** A bike from the storage, whatever stands there: only what a screen could have put there. */
    function asBike(raw) {
        const { STYLES, CONDITIONS, TIERS } = wheelworthLists;
        const made = blank();
        for (const name of TEXTS.concat(['id', 'day', 'said'])) made[name] = text(raw[name], 300);
        made.style = oneOf(STYLES, raw.style);
        made.tier = oneOf(first(TIERS), raw.tier);
        made.found = oneOf(first(CONDITIONS), raw.found);
        made.done = oneOf(first(CONDITIONS), raw.done);
        made.ticked = texts(raw.ticked);
        made.put_right = raw.put_right === true;
        for (const one of checks) {
            const was = raw.checks && raw.checks[one.key];
            if (was) made.checks[one.key] = { state: oneOf(['fine', 'fails', 'none'], was.state), which: texts(was.which), note: text(was.note) };
        }
        return made;
    }

    function asComp(raw) {
        const made = {};
        for (const name of COMP) made[name] = text(raw[name]);
        made.outcome = oneOf(['gone'], raw.outcome);
        return made;
    }

    function parse(stored) {
        const raw = JSON.parse(stored);
        const objects = (list) => list.filter((one) => one && typeof one === 'object' && typeof one.id === 'string' && one.id);
        return { bikes: objects(raw.bikes).map(asBike), comps: objects(raw.comps).map(asComp) };
    }

    /** An id that no other note of this phone or another has: the day, a number, four letters. */
    function newId(list) {
        const letters = 'abcdefghjkmnpqrstuvwxyz23456789';
        const random = new Uint8Array(4);
        if (window.crypto && window.crypto.getRandomValues) window.crypto.getRandomValues(random);
        else random.forEach((_, at) => { random[at] = Math.floor(Math.random() * 256); });
        const number = list.filter((one) => one.id.startsWith(today())).length + 1;
        return `${today()}-${number}-${Array.from(random, (n) => letters[n % letters.length]).join('')}`;
    }

    // ---- the browser's storage ------------------------------------------------------

    const notes = { bikes: [], comps: [] };
    /** What the storage held when it was last read or written, and the ids in it. */
    let kept = null;
    let kept_ids = [];
    let keeps = true;

    const ids = (some) => some.bikes.concat(some.comps).map((one) => one.id);

    /** Reads what is kept; what there is to say of it, or nothing. */
    function read() {
        let stored;
        let told = '';
        try {
            stored = window.localStorage.getItem(KEY);
            window.localStorage.setItem(`${KEY}-try`, '1');
            window.localStorage.removeItem(`${KEY}-try`);
        } catch (error) {
            keeps = false;
            told = stored === undefined ? DENIED : FULL;
        }
        if (!stored) return told;
        try {
            Object.assign(notes, parse(stored));
            kept = stored;
            kept_ids = ids(notes);
            return told;
        } catch (error) {
            // Left for whoever can read it; the new notes take its place.
            try { window.localStorage.setItem(`${KEY}-unreadable`, stored); } catch (full) { keeps = false; }
            return 'What was kept here cannot be read any more. It is set aside, and you start with an empty list.';
        }
    }

    /** Puts together what another window wrote and what could not be kept here. */
    function takeUp(stored) {
        const theirs = parse(stored);
        for (const kind of ['bikes', 'comps']) {
            const unkept = notes[kind].filter((one) => !kept_ids.includes(one.id) && !theirs[kind].some((other) => other.id === one.id));
            notes[kind] = theirs[kind].concat(unkept);
        }
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

    /** Changes the notes: what another window wrote is taken up first. What went wrong, or nothing. */
    function change(how) {
        let cleared = false;
        try {
            const now = window.localStorage.getItem(KEY);
            cleared = now === null && kept !== null;
            if (now !== null && now !== kept) takeUp(now);
        } catch (error) { /* told by the writing */ }
        how(notes);
        return write() || (cleared ? `${CLEARED}What is still on this screen is kept again.` : '');
    }

    /** Puts one in the place of that with its id, or at the end. */
    function put(list, one) {
        const at = list.findIndex((other) => other.id === one.id);
        if (at < 0) list.push(one);
        else list[at] = one;
    }

    /** After another window changed the storage: what there is to say of it. */
    function elsewhere(stored) {
        if (stored === null) {
            kept = null;
            kept_ids = [];
            return `${CLEARED}What you see here is not kept any more.`;
        }
        try { takeUp(stored); } catch (error) { /* the next change says so */ }
        return '';
    }

    function keepDraft(bike) {
        try { window.localStorage.setItem(DRAFT, JSON.stringify(bike)); } catch (error) { /* told where notes are kept */ }
    }

    function readDraft() {
        try {
            const stored = window.localStorage.getItem(DRAFT);
            if (stored) return asBike(JSON.parse(stored));
        } catch (error) { /* begin anew */ }
        return blank();
    }

    // ---- files ----------------------------------------------------------------------

    /** A cell: what a spreadsheet would run gets an apostrophe in front. */
    function cell(value) {
        let words = value === undefined || value === null ? '' : String(value);
        if (/^'*[=+\-@\t\r]/.test(words)) words = `'${words}`;
        return /[",\r\n]|^\s|\s$/.test(words) ? `"${words.replace(/"/g, '""')}"` : words;
    }

    const csv = (rows) => rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('');
    const joined = (parts, by) => parts.filter((part) => part).join(by);

    /** An amount that reads one way only: of three decimals the point may group thousands at home. */
    const oneWay = (ask) => (/\.\d{3}$/.test(ask || '') ? `${ask}0` : ask);

    function compsCsv() {
        const head = ['listing', 'source', 'style', 'made', 'condition', 'tier', 'seat_tube', 'listed_on', 'first_seen', 'last_seen', 'ask', 'last_ask', 'outcome'];
        return csv([head].concat(notes.comps.map((one) => [
            one.id, one.where, one.style, one.made, one.condition, one.tier, one.seat_tube, one.listed_on,
            one.day, one.last_day || one.day, oneWay(one.ask), oneWay(one.last_ask), one.outcome || 'listed',
        ])));
    }

    /** What one check says of one item of the sheet: its result and a note. */
    function finding(one, check, item) {
        const { state, which, note } = one.checks[check.key] || { state: '', which: [], note: '' };
        const seen = oneLine(note, 120);
        const named = which.filter((other) => check.items.includes(other));
        if (state === 'none') return ['not_fitted', ''];
        if (state === 'fine') return ['pass', check.key === 'recall' ? joined([one.day, seen], ', ') : ''];
        if (state === 'fails' && named.includes(item)) return ['fail', seen];
        if (state === 'fails' && !named.length && item === check.items[0]) {
            const which_one = check.items.length > 1 ? `${answers.listed(check.items)}: one of them, not said which` : '';
            return ['fail', joined([which_one, seen], '; ')];
        }
        return ['unchecked', ''];
    }

    /** The sheet of one bike, as `wheelworth inspect` reads it. */
    function sheetCsv(one) {
        const repairs = joined([one.ticked.join(', '), one.repairs], ', ');
        const about = joined([
            `looked at ${one.day}`, one.note, one.made && `made ${one.made}`, one.tier && `tier ${one.tier}`, one.found && `as found ${one.found}`,
            one.done && `when done ${one.done}`, repairs && `repairs ${repairs}`, one.price && `seller wants ${one.price}`, one.said,
        ], '; ');
        const rows = [['item', 'result', 'measure', 'note'], ['bike', '', one.label || one.id, about]];
        if (one.style) rows.push(['style', '', one.style, '']);
        const size = one.style === 'kids' ? '' : one.seat_tube.trim();
        if (size && !answers.against({ style: one.style, seat_tube: size })) rows.push(['seat tube', '', size, '']);
        for (const check of checks) {
            for (const item of check.items) {
                const [result, says] = finding(one, check, item);
                rows.push([item, result, '', says]);
            }
        }
        return csv(rows);
    }

    const called = (one) => one.label || joined([one.style || 'bike', one.made], ', ');

    /** Every file there is to hand over: name, what it is, text. */
    function files() {
        const made = notes.bikes.map((one) => ({ name: `inspection-${one.id.replace(/[^A-Za-z0-9-]/g, '')}.csv`, called: called(one), csv: sheetCsv(one) }));
        if (notes.comps.length) made.unshift({ name: `comps-${today()}.csv`, called: `Seen for sale (${notes.comps.length})`, csv: compsCsv() });
        return made;
    }

    return {
        KEY, TEXTS, DENIED, notes, today, oneLine, blank, asBike, newId, read, change, put, elsewhere, keepDraft, readDraft, files, called,
        keeps: () => keeps,
        isKept: (id) => kept_ids.includes(id),
    };
};
