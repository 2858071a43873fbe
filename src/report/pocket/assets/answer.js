// What the page answers, in words and numbers: no screen, no storage. `wheelworthAnswers`
// takes the numbers of value.js, the model and the checks, and answers for one bike.
const wheelworthLists = {
    STYLES: ['road', 'hybrid', 'mountain', 'city', 'cruiser', 'touring', 'folding', 'kids', 'other'],
    CONDITIONS: [
        ['donor', 'good only for its parts'],
        ['project', 'needs repair before it is ridden'],
        ['rider', 'safe and serviced, visibly worn'],
        ['tidy', 'fully serviced, light marks'],
        ['mint', 'as new'],
    ],
    // What such bikes usually have: common practice, no source.
    TIERS: [
        ['basic', 'plain steel, 5 to 7 gears at the back, simple rim or back-pedal brake'],
        ['sport', 'aluminium or light steel, 7 or 8 gears, rim brakes with long arms'],
        ['club', 'light frame, 8 to 10 gears, good rim brakes or cable discs'],
        ['race', 'light frame with a carbon fork, 10 or 11 gears'],
        ['pro', 'carbon or titanium, the best parts, 11 gears or more'],
    ],
};

const wheelworthAnswers = function (W, model, checks) {
    'use strict';

    const { STYLES, CONDITIONS } = wheelworthLists;
    const LABELS = { repairs: 'Repairs', price: 'The seller wants', margin: 'What is to be left over', new_price: 'What it costs new' };

    const message = (error) => (error && error.message ? error.message : String(error));
    const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);

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
        const bare = text.replace(/[\s\u00a0]/g, '').replace(/^[€$£¥]|[€$£¥]$|[.,][-–]$/g, '').replace(new RegExp(`^${code()}|${code()}$`, 'i'), '');
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

    /** What value.js says against one feature, or nothing. Of an unknown style a hybrid's rules hold. */
    function against(facts) {
        try {
            W.value(Object.assign({}, facts, { style: facts.style || 'hybrid' }));
            return '';
        } catch (error) {
            return message(error);
        }
    }

    const names = (some) => listed(some.map((one) => one.name.toLowerCase()));
    const grade = (word) => CONDITIONS.findIndex((one) => one[0] === word) + 1;

    const FRAME_ENDS = 'The frame has failed: the bike is good only for its parts. Scrap the frame itself, and a fork, bar, stem or post that failed: never pass them on.';
    const NUMBER_ENDS = 'Its serial number is missing, scratched out or on a list of stolen bikes. Neither buy nor sell it, whole or in parts, before the police or the keeper of the list has said whose it is.';
    const RECALL_ENDS = 'Leave it until its recall is settled with the maker or your authority: what is recalled must not be passed on, whole or in parts.';

    /** The answers for one bike, as its fields stand. */
    function of(bike) {
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

        /** What speaks against the bike at any price, gravest first: [in large letters, why]. */
        function barred() {
            if (has_failed('serial number')) return ['Leave it', NUMBER_ENDS];
            if (has_failed('frame')) return ['Do not buy it to ride', FRAME_ENDS];
            if (has_failed('recall')) return ['Leave it for now', RECALL_ENDS];
            return null;
        }

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
                        throw new Error(`${LABELS[name]}: ${message(error)}`);
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
                const repaired = { as_found: facts(counts.found, style), done: facts(counts.done, style) };
                const done = W.when_done(repaired);
                if (done.median === null || done.median === undefined) {
                    if (stop) return { kind: 'no', say: stop[0], worth: '', why: stop[1] };
                    return { kind: 'open', say: 'Cannot say', worth: '', why: `Nothing is known of prices in ${code()} yet. Note what you see, and import it at home.` };
                }
                const four = Math.round(done.level * 100) === 80 ? 'four of five sales' : `${Math.round(done.level * 100)} % of sales`;
                const better = counts.done !== counts.found;
                worth = `Worth ${about(done.median)} ${code()}${better ? ' when done' : ''}, ${about(done.low)} to ${about(done.high)} in ${four}`;
                if (better && counts.found) {
                    const found = W.value(facts(counts.found, style));
                    counts.said.push(`As found it is worth about ${about(found.median)}.`);
                }
                if (stop) return { kind: 'no', say: stop[0], worth: '', why: stop[1] };
                most = W.most_to_pay(Object.assign(repaired, { repairs: repairs.sum, margin }));
            } catch (error) {
                if (stop) return { kind: 'no', say: stop[0], worth: '', why: stop[1] };
                return { kind: 'open', say: 'Look again', worth: '', why: message(error) };
            }
            return Object.assign({ worth }, judged(most, { asking, margin, repairs, counts }));
        }

        /** Buy up to what an average sale allows, as `wheelworth offer` does. */
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
            if (bad.length && most.repair === false && repairs.sum > 0) {
                return { kind: 'no', say: 'Leave it', why: `${capital(names(bad))} failed, and the repairs cost more than they bring. Without them nobody may ride it.` };
            }
            const cautious = atMost(most.cautious);
            const mean = about(atMost(most.mean));
            const keep = margin ? `keep ${exact(margin)}` : 'come out even';
            if (!(most.mean > 0)) {
                return { kind: 'no', say: 'Leave it', why: `Even as a gift you would not ${keep} on average.${more}` };
            }
            const fine = `Up to ${mean} it would be fine.`;
            const badly = cautious > 0 ? `only up to ${about(cautious)}` : 'at no price';
            const average = `Up to ${mean} you ${keep} on average. To be safe if it sells badly (one in five does): ${badly}.`;
            if (asking !== null && asking > most.mean) {
                return { kind: 'no', say: 'Leave it', fine, why: `${average}${more}` };
            }
            const up_to = asking !== null && asking > atMost(most.mean) ? exact(asking) : mean;
            const sure = asking !== null && asking <= most.cautious ? ` At ${exact(asking)} you are safe.` : '';
            const why = `${average}${sure}${more}`;
            if (!repairs.told && counts.found && grade(counts.found) <= 2 && grade(counts.done) > grade(counts.found)) {
                return { kind: 'open', say: `${up_to}, less the repairs`, why: `It needs repair before it is ridden: say what that costs.${more}` };
            }
            if (bad.length) {
                return { kind: 'open', say: `To repair only: ${up_to}`, why: `${capital(names(bad))} failed: do not ride it before that is repaired. ${why}` };
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

        return { answer, verdict, failed, open, barred, repairsTold };
    }

    return { of, amount, exact, about, listed, names, against, message };
};
