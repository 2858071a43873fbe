// The screens of the page for the phone: reads the fields, shows the answers and the
// notes. Whatever somebody typed is only ever set as text.
(function () {
    'use strict';

    const { STYLES, CONDITIONS, TIERS } = wheelworthLists;
    const SIZES = ['XS', 'S', 'M', 'L', 'XL'];

    let model;
    let answers;
    let kept;
    let checks = [];
    /** The bike on the screen, and what is answered for it. */
    let bike;
    let now;
    /** The bike that was on the screen before and is noted nowhere, or nothing. */
    let before = null;
    /** The comp that is being corrected, or nothing. */
    let comp_id = '';
    const $ = (id) => document.getElementById(id);

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

    function dayInWords(iso) {
        const months = 'January February March April May June July August September October November December'.split(' ');
        const [year, month, day] = iso.split('-').map(Number);
        return months[month - 1] ? `${day} ${months[month - 1]} ${year}` : iso;
    }


    const code = () => model.currency.code;
    const checkOf = (key) => bike.checks[key] || { state: '', which: [], note: '' };
    const has_failed = (key) => checkOf(key).state === 'fails';

    // ---- the answer ---------------------------------------------------------------

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
        now = answers.of(bike);
        const says = now.answer();
        $('answer').className = `answer ${says.kind}`;
        $('say').textContent = says.say;
        $('fine').textContent = says.fine || '';
        $('worth').textContent = says.worth;
        const left_open = says.kind === 'yes' && now.open().length;
        $('why').textContent = says.why;
        $('safety').textContent = left_open ? `Safety: ${left_open} of ${checks.length} checks not looked at.` : '';
        speak([says.say, says.fine, says.worth, says.why, $('safety').textContent].filter((part) => part).map((part) => (/[.?]$/.test(part) ? part : `${part}.`)).join(' '));
        const seen = now.verdict();
        $('verdict').className = `answer ${seen.kind}`;
        $('verdict_say').textContent = seen.say;
        $('verdict_why').textContent = seen.why;
        speakVerdict(`${seen.say}. ${seen.why}`);
        return says;
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
        input.oninput = () => buttons.forEach((button, at) => {
            button.setAttribute('aria-pressed', String(input.value.trim() === offers[at][0]));
        });
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
            try { answers.amount(bike[name]); } catch (error) { says = answers.message(error); }
            wrong($(name), says);
        }
        wrong($('made'), bike.made.trim() ? answers.against({ made: bike.made.trim() }) : '');
        const sized = bike.style !== 'kids' && bike.seat_tube.trim();
        wrong($('seat_tube'), sized ? answers.against({ style: bike.style, seat_tube: bike.seat_tube.trim() }) : '');
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
        let says = !usual.length ? '0 when no new parts are needed' : '';
        try {
            if (usual.length) says = `Together ${answers.about(answers.of(bike).repairsTold().sum)} ${code()}`;
        } catch (error) { says = ''; }
        $('repairs_help').textContent = says;
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
            return el('label', { className: 'pick' }, tick, el('span', null, one.job), el('span', { className: 'cost' }, answers.exact(one.cost)));
        });
        empty($('jobs_place'), el('p', { className: 'help' }, 'What such work usually costs you'), el('div', { className: 'picks jobs' }, ...rows));
    }

    /** Fills the form anew from the bike. */
    function drawBike() {
        for (const name of kept.TEXTS) if ($(name)) $(name).value = bike[name];
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
        const { barred, failed } = answers.of(bike);
        const bad = barred() ? [] : failed();
        $('put_right_row').hidden = !bad.length;
        $('put_right_words').textContent = `The repairs I counted put this right: ${answers.names(bad)}`;
    }

    // ---- notes ----------------------------------------------------------------------

    /** Changes the notes and says what came of it. */
    function change(how, done) {
        const wrong_with_it = kept.change(how);
        drawNotes();
        tell(wrong_with_it || done);
    }

    let draft_timer;
    function keepDraft() {
        clearTimeout(draft_timer);
        draft_timer = setTimeout(() => kept.keepDraft(bike), 300);
    }

    let told_timer;
    function tell(words) {
        clearTimeout(told_timer);
        $('told').textContent = words || '';
        $('told').className = kept.keeps() ? 'passing' : '';
        // What is wrong stays; what was done goes again.
        if (words && kept.keeps()) told_timer = setTimeout(() => { $('told').textContent = ''; }, 8000);
    }

    function drawNoteFields() {
        const noted = kept.notes.bikes.some((one) => one.id === bike.id);
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
        const said = showAnswer();
        const again = kept.notes.bikes.some((one) => one.id === bike.id);
        if (!again) bike.id = kept.newId(kept.notes.bikes);
        const copy = kept.asBike(JSON.parse(JSON.stringify(bike)));
        copy.day = (again && kept.notes.bikes.find((one) => one.id === bike.id).day) || kept.today();
        copy.label = kept.oneLine(bike.label, 60);
        copy.note = kept.oneLine(bike.note, 200);
        copy.said = ['Look again', 'What is it?'].includes(said.say) ? '' : [said.say, said.worth].filter((part) => part).join('. ');
        change((all) => {
            kept.put(all.bikes, copy);
        }, again ? 'Changes kept.' : 'Noted. It stands under Noted.');
        drawNoteFields();
        keepDraft();
    }

    /** What stands on the screen, without what noting it adds. */
    function typed(one) {
        return JSON.stringify(Object.assign({}, kept.asBike(one), { id: '', day: '', said: '', margin: '' }));
    }

    /** Puts another bike on the screen; one that is noted nowhere can be had back. */
    function put(another) {
        const nothing = [kept.blank()].concat(kept.notes.bikes).some((one) => typed(one) === typed(bike));
        before = nothing ? null : bike;
        bike = another;
        drawBike();
        $('back_place').hidden = !before;
        window.scrollTo(0, 0);
    }

    function nextBike() {
        put(Object.assign(kept.blank(), { margin: bike.margin }));
        if (before) tell('The bike before was not noted. The button at the top brings it back.');
    }

    // ---- comps ------------------------------------------------------------------

    function drawComp(comp) {
        comp_id = comp ? comp.id : '';
        const was = comp || { style: '', ask: '', where: '', made: '', condition: '', tier: '', seat_tube: '', listed_on: '' };
        empty($('comp_style_place'), choice('comp_style', 'What is it', STYLES.map((word) => [word, word]), () => was.style, () => {}));
        for (const name of ['ask', 'where', 'made', 'condition', 'tier', 'seat_tube', 'listed_on']) $(`comp_${name}`).value = was[name];
        const wheres = kept.notes.comps.map((one) => one.where).filter((where) => where).reverse();
        const offers = Array.from(new Set(wheres)).slice(0, 4).map((where) => [where, where]);
        $('comp_where_quick').hidden = !offers.length;
        quick($('comp_where_quick'), $('comp_where'), offers);
        quick($('comp_made_quick'), $('comp_made'), agesFrom(thisYear()));
        for (const name of ['ask', 'made', 'seat_tube', 'listed_on']) wrong($(`comp_${name}`), '');
        $('comp_wrong').textContent = '';
        $('comp_title').textContent = comp ? 'Correct a bike seen for sale' : 'A bike seen for sale';
        $('comp_drop').hidden = !comp;
        $('comp_more').open = Boolean(comp && (comp.made || comp.condition || comp.tier || comp.seat_tube || comp.listed_on));
    }

    /** The comp as typed, or null with what is wrong said beside its fields. */
    function compTyped() {
        const style = (document.querySelector('input[name=comp_style]:checked') || { value: '' }).value;
        const was = kept.notes.comps.find((one) => one.id === comp_id);
        const typed = Object.assign({ last_day: '', last_ask: '', outcome: '' }, was, { style });
        for (const name of ['ask', 'where', 'made', 'condition', 'tier', 'seat_tube', 'listed_on']) typed[name] = kept.oneLine($(`comp_${name}`).value, 80);
        typed.id = was ? was.id : kept.newId(kept.notes.comps);
        typed.day = was ? was.day : kept.today();
        let says = '';
        try {
            const ask = answers.amount(typed.ask);
            if (ask === null) says = 'Write what is asked for it.';
            else if (ask === 0) says = 'Write an amount above 0.';
            else typed.ask = answers.exact(ask);
        } catch (error) { says = answers.message(error); }
        let fine = wrong($('comp_ask'), says);
        fine = wrong($('comp_made'), typed.made ? answers.against({ made: typed.made }) : '') && fine;
        fine = wrong($('comp_seat_tube'), typed.seat_tube ? answers.against({ style, seat_tube: typed.seat_tube }) : '') && fine;
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
            kept.put(all.comps, typed);
        }, comp_id ? 'Changes kept.' : 'Saved.');
        drawComp(null);
        $('comps_title').focus({ preventScroll: false });
    }

    // ---- lists ------------------------------------------------------------------

    /** The note that waits for a second tap before it is deleted. */
    let to_delete = '';

    function noteRow(kind, one, head, lines, act, actWords, more) {
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
            : [...(more || []), el('button', { type: 'button', 'aria-label': `${actWords}: ${head}`, on: { click: act } }, actWords),
                el('button', { type: 'button', id: `delete ${one.id}`, 'aria-label': `Delete: ${head}`, on: { click: ask(one.id, 'yes') } }, 'Delete')];
        const unkept = kept.isKept(one.id) ? null : el('p', { className: 'wrong' }, 'Not kept: gone when this page closes.');
        return el('li', null, el('p', { className: 'head' }, head), ...lines.filter((line) => line).map((line) => el('p', { className: 'quiet' }, line)), unkept, el('p', { className: 'buttons' }, ...buttons));
    }

    function bikeRow(one) {
        const bad = checks.filter((check) => one.checks[check.key] && one.checks[check.key].state === 'fails');
        const looked = checks.filter((check) => one.checks[check.key] && one.checks[check.key].state);
        const facts_told = [one.label ? one.style : '', one.label ? one.made : '', one.found && `as found ${one.found}`, one.price && `wanted ${one.price} ${code()}`];
        return noteRow('bikes', one, kept.called(one), [
            facts_told.filter((part) => part).join(', '),
            one.said,
            bad.length ? `Failed: ${answers.names(bad)}` : `${looked.length} of ${checks.length} checks looked at`,
            one.note,
            dayInWords(one.day),
        ], () => { put(kept.asBike(one)); show('pay'); }, 'Open');
    }

    function compRow(one) {
        const facts = [one.made, one.condition, one.tier, one.seat_tube].filter((part) => part).join(', ');
        const asks = one.last_ask && one.last_ask !== one.ask ? `${one.last_ask} ${code()}, at first ${one.ask}` : `${one.ask} ${code()}`;
        const head = `${one.style}, ${asks}`;
        const again = one.last_day && `Seen again ${dayInWords(one.last_day)}`;
        const correct = () => { drawComp(one); $('comp_title').scrollIntoView(); $('comp_ask').focus({ preventScroll: true }); };
        const look = el('button', { type: 'button', 'aria-label': `Seen again: ${head}`, id: `again ${one.id}`, on: { click: () => lookAgain(one.id) } }, 'Seen again');
        const row = noteRow('comps', one, head, [
            facts, [one.where, dayInWords(one.day)].filter((part) => part).join(', '), again, one.outcome && 'No longer there',
        ], correct, 'Correct', [look]);
        if (seen_again === one.id) row.lastChild.replaceWith(laterLook(one));
        return row;
    }

    /** The comp that is looked at a second time, or nothing. */
    let seen_again = '';

    function lookAgain(id) {
        const was = seen_again;
        seen_again = id;
        drawNotes();
        $(id ? 'ask_now' : `again ${was}`).focus();
    }

    /** What a second look at a comp says: asked today, or no longer there. */
    function laterLook(one) {
        const input = el('input', { id: 'ask_now', type: 'text', inputMode: 'decimal', maxLength: 20, value: one.last_ask || one.ask, 'aria-describedby': 'ask_now_wrong' });
        const keep = (how, done) => {
            seen_again = '';
            change((all) => { kept.put(all.comps, Object.assign({}, one, how)); }, done);
            $('comps_title').focus({ preventScroll: true });
        };
        const there = (event) => {
            event.preventDefault();
            let ask = null;
            let says = 'Write what is asked for it now.';
            try {
                ask = answers.amount(kept.oneLine(input.value, 20));
                if (ask === 0) says = 'Write an amount above 0.';
            } catch (error) { says = answers.message(error); }
            if (!ask) { wrong(input, says); input.focus(); return; }
            const last_day = kept.today() > one.day ? kept.today() : one.day;
            keep({ last_day, last_ask: answers.exact(ask), outcome: '' }, 'Saved.');
        };
        // No longer there: what was last seen of it stays as it was.
        const gone = () => keep({ outcome: 'gone' }, 'Saved.');
        return el('form', { autocomplete: 'off', on: { submit: there } },
            el('div', { className: 'field again' }, el('label', { htmlFor: 'ask_now' }, 'Asked now'), input, el('p', { className: 'wrong', id: 'ask_now_wrong' })),
            el('p', { className: 'buttons' },
                el('button', { type: 'submit', className: 'main' }, 'Still there'),
                el('button', { type: 'button', on: { click: gone } }, 'No longer there'),
                el('button', { type: 'button', on: { click: () => lookAgain('') } }, 'Leave it as it was')));
    }

    function drawNotes() {
        const nothing = (words) => el('li', { className: 'quiet' }, words);
        empty($('comps'), ...(kept.notes.comps.length ? kept.notes.comps.slice().reverse().map(compRow) : [nothing('None yet.')]));
        empty($('bikes'), ...(kept.notes.bikes.length ? kept.notes.bikes.slice().reverse().map(bikeRow) : [nothing('None yet.')]));
        const count = kept.notes.comps.length + kept.notes.bikes.length;
        $('count').textContent = count ? `(${count})` : '';
        $('kept_words').textContent = kept.keeps()
            ? 'Kept in this browser, on this phone alone. Clearing the browser’s data deletes it, and some browsers delete it after a while: hand it over soon.'
            : kept.DENIED;
        drawFiles();
    }

    // ---- files ------------------------------------------------------------------

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
        const all = kept.files();
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
            if (kept.keeps()) tell('');
            try { window.history.pushState(null, '', `#${part}`); } catch (error) { /* some viewers of files forbid it */ }
            window.scrollTo(0, 0);
        }
    }

    const asked = () => (PARTS.includes(window.location.hash.slice(1)) ? window.location.hash.slice(1) : 'pay');

    function drawMadeOn() {
        const days = Math.floor((Date.parse(kept.today()) - Date.parse(model.made_on)) / 86400000);
        const old = days > (model.old_after_days || 60);
        const { own_sales, comps } = model.rests_on;
        document.documentElement.classList.toggle('old', old);
        $('made_on').textContent = old
            ? `These prices are ${days} days old, of ${dayInWords(model.made_on)}. Write the page again at home before you trust them.`
            : `Prices of ${dayInWords(model.made_on)} in ${code()}, from ${own_sales + comps ? `${own_sales} own sales and ${comps} seen` : 'no records: a guess of the trade'}`;
        const count = (n, one, many) => `${n} ${n === 1 ? one : many}`;
        $('rests').textContent = own_sales + comps
            ? `Made on ${dayInWords(model.made_on)} from ${count(own_sales, 'sale', 'sales')} of your own and ${count(comps, 'bike', 'bikes')} seen for sale elsewhere.`
            : `Made on ${dayInWords(model.made_on)} without any record: a guess of the trade.`;
        empty($('book_says'), ...(model.book_says || []).map((says) => el('li', null, says)));
    }

    function listen() {
        $('bike').addEventListener('input', (event) => {
            const { name } = event.target;
            if (!kept.TEXTS.includes(name)) return;
            bike[name] = event.target.value;
            changed();
        });
        $('bike').addEventListener('submit', (event) => event.preventDefault());
        // The key for 'done' puts the keyboard away, so that the answer is seen.
        $('bike').addEventListener('keydown', (event) => { if (event.key === 'Enter' && event.target.type === 'text') event.target.blur(); });
        $('back').addEventListener('click', () => put(before));
        $('told').addEventListener('click', () => { if (kept.keeps()) tell(''); });
        $('checks').addEventListener('submit', (event) => event.preventDefault());
        $('comp').addEventListener('submit', saveComp);
        $('comp_drop').addEventListener('click', () => drawComp(null));
        $('print').addEventListener('click', () => window.print());
        for (const link of document.querySelectorAll('nav a')) {
            link.addEventListener('click', (event) => { event.preventDefault(); show(link.hash.slice(1)); });
        }
        window.addEventListener('popstate', () => show(asked(), true));
        window.addEventListener('storage', (event) => {
            if (event.key !== kept.KEY && event.key !== null) return;
            const says = kept.elsewhere(event.newValue);
            if (says) tell(says);
            drawNotes();
        });
    }

    function options(select, list) {
        empty(select, el('option', { value: '' }, 'not known'), ...list.map(([word, means]) => el('option', { value: word }, `${word}: ${means}`)));
    }

    function begin() {
        if (!window.wheelworth) {
            const read = JSON.parse($('model').textContent);
            window.wheelworth = Object.assign(wheelworthModel(read), { model: read });
        }
        model = Object.assign({ repairs: [], rests_on: { own_sales: 0, comps: 0 }, book_says: [] }, window.wheelworth.model);
        checks = readChecks();
        answers = wheelworthAnswers(window.wheelworth, model, checks);
        kept = wheelworthNotes(answers, model, checks);
        const told = kept.read();
        bike = kept.readDraft();
        options($('comp_condition'), CONDITIONS);
        options($('comp_tier'), TIERS);
        drawMadeOn();
        listen();
        drawBike();
        drawComp(null);
        drawNotes();
        show(asked(), true);
        tell(told);
        document.documentElement.className += ' live';
        if (document.querySelector('link[rel=manifest]') && 'serviceWorker' in navigator) {
            navigator.serviceWorker.register('worker.js').catch(() => tell('This page could not be kept for use without a network. It works as long as it is open.'));
        }
    }

    try {
        begin();
    } catch (error) {
        document.documentElement.className = '';
        $('off').textContent = `This page's script could not start (${error && error.message ? error.message : error}), so it works nothing out and keeps nothing. Use it as the form below.`;
    }
}());