/**
 * The page's script, as text: it runs in the browser, without a build step. It shows what the event stream tells and posts
 * what is pressed; it keeps nothing but who is chosen. Words of the line only ever become text nodes.
 */
export const script = String.raw`
const setup = JSON.parse(document.getElementById('setup').textContent);
const { words } = setup;
const phones = new Map();
/** The last thing seen on each phone, by number. */
const seen = new Map();
let clockAhead = 0;
let allShown = false;

async function post(path, body) {
  const answer = await fetch('/practice/' + path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(path + ': ' + answer.status);
  return answer.status === 204 ? undefined : answer.json();
}

function lost(isLost) {
  document.getElementById('lost').hidden = !isLost;
}

function tried(promise) {
  promise.then(() => lost(false), () => lost(true));
}

function made(tag, className, text) {
  const node = document.createElement(tag);
  if (className) node.className = className;
  if (text !== undefined) node.textContent = text;
  return node;
}

const clockFace = new Intl.DateTimeFormat('en-GB', {
  timeZone: setup.timeZone, weekday: 'short', day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit',
});
const dayFace = new Intl.DateTimeFormat('en-GB', { timeZone: 'UTC', day: 'numeric', month: 'long', year: 'numeric' });
const lineDay = new Intl.DateTimeFormat('en-CA', { timeZone: setup.timeZone });
const now = () => Date.now() + clockAhead;

function ageWords(bornOn) {
  const days = Math.round((Date.parse(lineDay.format(now())) - Date.parse(bornOn)) / 86400000);
  const { facts } = words;
  if (days <= 0) return facts.today;
  if (days === 1) return '1 ' + facts.dayOld;
  return days < 28 ? days + ' ' + facts.daysOld : Math.floor(days / 7) + ' ' + facts.weeksOld;
}

function about(person) {
  const box = made('div');
  if (person.babies === undefined) {
    box.append(made('p', 'story', person.story));
    return box;
  }
  const { facts } = words;
  box.append(made('p', 'fact', person.name + ', ' + person.ageYears + ' ' + facts.years));
  for (const baby of person.babies) {
    box.append(made('p', 'fact', baby.name + ', ' + facts[baby.sex] + ', ' + ageWords(person.bornOn) + ' (' + facts.born
      + ' ' + dayFace.format(Date.parse(person.bornOn)) + '), ' + baby.birthWeightGrams + ' ' + facts.grams));
  }
  box.append(made('p', 'story', person.story));
  return box;
}

class Phone {
  constructor(id) {
    this.root = document.getElementById(id);
    this.spokenIn = '';
    this.spokenCount = 0;
    this.closed = '';
    this.shownSeq = 0;
    this.select = this.part('select');
    this.text = this.part('textarea');
    this.select.addEventListener('change', () => tried(this.choose()));
    this.part('form').addEventListener('submit', (event) => {
      event.preventDefault();
      this.send();
    });
    this.text.addEventListener('keydown', (event) => {
      if (event.key !== 'Enter' || event.shiftKey || event.isComposing) return;
      event.preventDefault();
      this.send();
    });
    this.root.addEventListener('click', (event) => {
      const button = event.target.closest('button');
      if (button === null) return;
      if (button.dataset.key !== undefined) this.press(button.dataset.key);
      if (button.dataset.do === 'call') tried(post('call', { number: this.number }));
      if (button.dataset.do === 'answer') tried(post('answer', { number: this.number }));
      if (button.dataset.do === 'hang-up') tried(post('hang-up', { number: this.number }));
      if (button.dataset.do === 'close') {
        this.closed = this.call ? this.call.id : '';
        this.show();
        this.text.focus();
      }
    });
    // A real keyboard works as the keypad too, wherever the focus is in a phone that is in a call.
    this.root.addEventListener('keydown', (event) => {
      const typing = event.target === this.text || event.target === this.select;
      if (typing || event.ctrlKey || event.metaKey || event.altKey || !/^[0-9*#]$/.test(event.key)) return;
      event.preventDefault();
      this.press(event.key);
    });
  }
  part(selector) { return this.root.querySelector(selector); }
  get number() { return this.select.value; }
  get call() { return phones.get(this.number)?.call ?? null; }
  async choose() {
    if (this.number === 'new') {
      const { number } = await post('new-phone', {});
      this.know(number);
      this.select.value = number;
    }
    this.shownSeq = 0;
    this.part('.thread').replaceChildren();
    this.show();
    this.about();
    this.elsewhere();
  }
  know(number) {
    if ([...this.select.options].some((option) => option.value === number)) return;
    const option = made('option', '', words.newPhone + ' ' + number.slice(-3));
    option.value = number;
    this.select.insertBefore(option, this.select.querySelector('[value=new]'));
  }
  about() {
    const known = setup.mothers.find(({ number }) => number === this.number);
    const counsellor = setup.counsellors.some(({ number }) => number === this.number);
    const story = counsellor ? words.counsellorStory : words.newPhoneStory;
    this.part('.about').replaceChildren(about(known ?? { story }));
    this.part('.number').textContent = this.number;
  }
  /** Names the phones, other than the one in hand, that got a text or a call since they were last looked at. */
  elsewhere() {
    const fresh = [...this.select.options].filter(({ value }) => {
      const phone = phones.get(value);
      if (phone === undefined || value === this.number) return false;
      const latest = phone.thread.filter(({ kind }) => kind !== 'sent').at(-1);
      return phone.call?.stage === 'ringing' || (latest?.seq ?? 0) > (seen.get(value) ?? 0);
    });
    const names = fresh.map(({ textContent }) => textContent).join(', ');
    this.part('.elsewhere').textContent = names === '' ? '' : words.elsewhere + ': ' + names;
  }
  send() {
    const body = this.text.value.trim();
    if (body === '') return;
    this.text.value = '';
    tried(post('text', { number: this.number, body }).catch((error) => {
      if (this.text.value === '') this.text.value = body; // Not sent: it is hers to send again.
      throw error;
    }));
  }
  press(key) {
    if (this.call !== null && this.call.listening) tried(post('key', { number: this.number, key }));
  }
  show() {
    const phone = phones.get(this.number) ?? { thread: [], call: null };
    const thread = this.part('.thread');
    for (const item of phone.thread) {
      if (item.seq <= this.shownSeq) continue;
      this.shownSeq = item.seq;
      seen.set(this.number, item.seq);
      const entry = made('li', item.kind);
      entry.append(made('p', '', item.kind === 'remark' ? words.remark[item.text] : item.text));
      const time = made('time', '', clockFace.format(item.at));
      time.dateTime = new Date(item.at).toISOString();
      entry.append(time);
      thread.append(entry);
    }
    this.showCall(phone.call);
    const screen = this.part('.screen');
    screen.scrollTop = screen.scrollHeight;
  }
  showCall(call) {
    const panel = this.part('.call');
    const open = call !== null && call.id !== this.closed && !(call.stage === 'ended' && call.words.length === 0);
    const live = open && call.stage !== 'ended';
    const hadFocus = panel.contains(document.activeElement);
    panel.hidden = !open;
    this.part('form').hidden = live;
    this.root.classList.toggle('in-call', live);
    if (!open) return;
    panel.dataset.stage = call.stage;
    this.part('.stage').textContent = words.stage[call.stage];
    const said = this.part('.said');
    if (said.dataset.call !== call.id) said.replaceChildren();
    said.dataset.call = call.id;
    for (const { text, language } of call.words.slice(said.childElementCount)) {
      const spoken = made('p', '', text);
      spoken.lang = language;
      said.append(spoken);
      said.scrollTop = said.scrollHeight;
    }
    this.part('output').textContent = call.pressed;
    for (const key of panel.querySelectorAll('[data-key]')) key.setAttribute('aria-disabled', String(!call.listening));
    const wants = { answer: call.stage === 'ringing', 'hang-up': live, close: !live };
    for (const button of panel.querySelectorAll('[data-do]')) button.hidden = !wants[button.dataset.do];
    this.part('[data-do=hang-up]').textContent = call.stage === 'ringing' ? words.decline : words.hangUp;
    if (hadFocus && document.activeElement === document.body) {
      this.part(live ? '[data-key="1"]' : '[data-do=close]').focus();
    }
    this.speak(call);
  }
  speak(call) {
    if (this.spokenIn !== call.id) {
      this.spokenIn = call.id;
      this.spokenCount = 0;
    }
    const fresh = call.words.slice(this.spokenCount);
    this.spokenCount = call.words.length;
    if (fresh.length === 0 || !('speechSynthesis' in window) || !document.getElementById('speak').checked) return;
    speechSynthesis.cancel();
    for (const { text, language } of fresh) {
      const speech = new SpeechSynthesisUtterance(text);
      speech.lang = language;
      speechSynthesis.speak(speech);
    }
  }
}

const mother = new Phone('mother');
const counsellor = new Phone('counsellor');
const both = [mother, counsellor];

function tick() {
  const face = document.getElementById('now');
  face.textContent = clockFace.format(now());
  face.dateTime = new Date(now()).toISOString();
}

for (const button of document.querySelectorAll('[data-forward]')) {
  button.addEventListener('click', () => {
    const { forward } = button.dataset;
    const group = [...document.querySelectorAll('[data-forward]')];
    for (const each of group) each.disabled = true;
    tried(post('clock', forward === 'morning' ? { to: 'morning' } : { forwardMinutes: Number(forward) }).finally(() => {
      for (const each of group) each.disabled = false;
      button.focus();
    }));
  });
}
document.getElementById('speak').addEventListener('change', (event) => {
  if (!event.target.checked && 'speechSynthesis' in window) speechSynthesis.cancel();
});

const events = new EventSource('/practice/events');
events.addEventListener('open', () => lost(false));
events.addEventListener('error', () => lost(true));
events.addEventListener('clock', ({ data }) => {
  clockAhead = JSON.parse(data).now - Date.now();
  tick();
  for (const phone of both) phone.about();
});
events.addEventListener('phone', ({ data }) => {
  const phone = JSON.parse(data);
  phones.set(phone.number, phone);
  if (/^\+447700900[2-8]\d\d$/.test(phone.number)) mother.know(phone.number);
  if (!allShown) seen.set(phone.number, phone.thread.at(-1)?.seq ?? 0);
  for (const each of both) {
    if (each.number === phone.number) each.show();
    each.elsewhere();
  }
});
events.addEventListener('all-shown', () => { allShown = true; });
for (const phone of both) {
  phone.about();
  phone.show();
}
tick();
setInterval(tick, 10000);
`;
