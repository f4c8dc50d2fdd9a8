/** The desk's one style sheet: system letters, strong contrast, one column on a phone and two on a laptop. */
export const style = `
:root { color-scheme: light; --ink: #1b1f24; --soft: #4b535d; --line: #c9ced6; --paper: #f5f6f8; --now: #a8071a; --today: #7a4a00; --days: #3f4a57; --act: #0b5394; }
* { box-sizing: border-box; }
body { margin: 0; font: 1rem/1.45 system-ui, "Noto Sans", "Noto Sans Devanagari", sans-serif; color: var(--ink); background: var(--paper); overflow-wrap: anywhere; }
a { color: var(--act); }
h1 { font-size: 1.35rem; margin: 0 0 .75rem; line-height: 1.25; }
h2 { font-size: 1.05rem; margin: 0 0 .5rem; line-height: 1.3; }
h3 { font-size: 1rem; margin: 0 0 .25rem; }
p { margin: 0 0 .4rem; }
:focus-visible { outline: 3px solid #f5b400; outline-offset: 2px; }
.skip { position: absolute; left: -99rem; }
.skip:focus { left: .5rem; top: .5rem; background: #fff; padding: .5rem; z-index: 1; }
header.top { background: #fff; border-bottom: 1px solid var(--line); padding: .35rem 1rem; display: flex; flex-wrap: wrap; gap: .25rem 1rem; align-items: center; }
header.top nav { display: flex; flex-wrap: wrap; gap: 0 .9rem; }
header.top nav a { padding: .5rem 0 .35rem; white-space: nowrap; text-decoration: none; border-bottom: 3px solid transparent; }
header.top nav a[aria-current] { color: var(--ink); font-weight: 600; border-color: var(--ink); }
header.top .who { margin-left: auto; display: flex; gap: .4rem; align-items: center; white-space: nowrap; }
form.find { display: flex; gap: .35rem; align-items: center; flex: 0 1 18rem; min-width: 0; }
form.find input { width: 100%; min-width: 5rem; padding-left: .45rem; padding-right: .3rem; }
main { padding: 1rem; max-width: 76rem; margin: 0 auto; }
main.narrow { max-width: 30rem; }
footer { padding: 1rem; max-width: 76rem; margin: 0 auto; color: var(--soft); font-size: .875rem; display: flex; flex-wrap: wrap; gap: .5rem 1.5rem; align-items: center; }
label { display: block; font-weight: 600; margin-bottom: .2rem; }
input, select, textarea, button { font: inherit; color: inherit; min-height: 2.75rem; padding: .45rem .6rem; border: 1px solid #767e89; border-radius: 4px; background: #fff; max-width: 100%; }
textarea { width: 100%; display: block; }
button { cursor: pointer; white-space: nowrap; flex: none; background: #fff; border-color: var(--act); color: var(--act); font-weight: 600; }
button.main { background: var(--act); color: #fff; }
button.plain { border-color: transparent; background: none; font-weight: 400; text-decoration: underline; padding: .45rem .25rem; }
.field { margin-bottom: .75rem; }
textarea + button { margin-top: .4rem; }
.group { white-space: nowrap; }
.note { background: #fff; border-left: 5px solid var(--act); padding: .6rem .8rem; margin-bottom: 1rem; }
.note.bad { border-color: var(--now); }
.soft { color: var(--soft); font-size: .9rem; }
.card { background: #fff; border: 1px solid var(--line); border-radius: 6px; padding: .8rem 1rem; margin-bottom: 1rem; }
ol.people, ul.plain { list-style: none; margin: 0; padding: 0; }
ol.people > li { background: #fff; border: 1px solid var(--line); border-left: 6px solid var(--days); border-radius: 4px; padding: .7rem .9rem; margin-bottom: .6rem; display: grid; gap: .1rem 1rem; }
ol.people > li.A { border-left-color: var(--now); }
ol.people > li.B { border-left-color: #c77700; }
ol.people h2 { margin: .1rem 0; }
.mark { display: inline-block; font-weight: 700; padding: 0 .45rem; border-radius: 3px; border: 1px solid; }
.mark.A { background: var(--now); border-color: var(--now); color: #fff; }
.mark.B { background: #fff3dc; border-color: #c77700; color: #5c3700; }
.mark.C { background: #eef1f4; border-color: #8a939e; color: var(--days); }
.lines { list-style: none; padding-top: 0; padding-bottom: 0; }
.lines li { padding: .6rem 0; border-bottom: 1px solid #e1e5ea; display: grid; gap: .15rem .9rem; }
.lines li:last-child { border: 0; }
.when { color: var(--soft); font-variant-numeric: tabular-nums; white-space: nowrap; }
.tag { display: inline-block; padding: 0 .45rem; border: 1px solid #8a939e; border-radius: 3px; background: #eef1f4; color: var(--days); font-size: .9rem; }
ul.dues > li { display: grid; grid-template-columns: 9.5rem minmax(0, 1fr); gap: 0 .75rem; padding: .3rem 0; border-bottom: 1px solid #e1e5ea; }
ul.dues > li:last-child { border: 0; }
ul.dues summary { padding: .15rem 0; }
.chips { display: flex; flex-wrap: wrap; gap: .4rem; margin-bottom: 1rem; }
.chips a { padding: .5rem .7rem; border: 1px solid var(--line); border-radius: 4px; background: #fff; text-decoration: none; }
.chips a[aria-current] { border-color: var(--ink); color: var(--ink); font-weight: 600; }
ul.coming li { grid-template-columns: 3.2rem minmax(0, 1fr); padding: .4rem 0; }
ul.coming li > :last-child { grid-column: 2; }
table.week { border-collapse: separate; border-spacing: 0; }
table.week tr:last-child > * { border: 0; }
table.week th { width: 7.5rem; white-space: nowrap; color: var(--ink); font-size: 1rem; }
p.shift { margin: 0 0 .15rem; }
p.shift.off { color: var(--soft); }
p.shift.gap { color: var(--now); font-weight: 600; }
p.shift.gap .when { color: inherit; }
.why { font-weight: 600; margin: 0; }
q { quotes: "“" "”"; }
details summary { cursor: pointer; color: var(--act); padding: .35rem 0; }
.acts { display: flex; flex-wrap: wrap; gap: .5rem; align-items: end; }
ol.talk { list-style: none; margin: 0 0 .5rem; padding: 0; display: flex; flex-direction: column; gap: .4rem; }
ol.talk li { max-width: 92%; padding: .4rem .7rem; border-radius: 6px; border: 1px solid var(--line); background: #fff; white-space: pre-line; }
ol.talk li.her { background: #e7f0fa; border-color: #a9c4e2; }
ol.talk li.line { align-self: flex-end; }
ol.talk .soft { white-space: normal; display: block; font-size: .8rem; }
ol.steps { list-style: none; margin: 0 0 .75rem; padding: 0; }
ol.steps li { padding: .15rem 0; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; overflow-wrap: normal; }
caption { text-align: left; font-weight: 600; padding-bottom: .25rem; }
th, td { text-align: left; padding: .3rem .6rem .3rem 0; border-bottom: 1px solid #e1e5ea; vertical-align: top; }
th { font-weight: 600; color: var(--soft); font-size: .9rem; }
td.day { white-space: nowrap; }
td.few { font-weight: 700; color: var(--now); }
svg { width: 100%; max-width: 34rem; height: auto; display: block; }
svg text { font-size: 12.5px; fill: #3a414a; font-family: inherit; }
svg .grid { stroke: #e1e5ea; }
svg .axis { stroke: #767e89; }
svg .sd { fill: none; stroke: #69727d; stroke-width: 1.5; stroke-dasharray: 5 4; }
svg .median { fill: none; stroke: #3a414a; stroke-width: 2; }
svg .own { fill: none; stroke: var(--act); stroke-width: 2.5; }
svg .dot { fill: var(--act); stroke: #fff; stroke-width: 1.5; }
svg .doubt { fill: #fff; stroke: var(--act); stroke-width: 2; }
svg .bar { fill: #8db3d9; }
svg .bar.short { fill: #d98c95; }
@media (max-width: 40rem) {
  main { padding: .75rem; }
  header.top { padding: .35rem .75rem; }
  form.find { flex: 1 1 8rem; }
  .card { padding: .7rem .75rem; }
  th, td { padding-right: .3rem; }
  table { font-size: .88rem; }
  ul.dues > li { grid-template-columns: minmax(0, 1fr); }
  table.week th { width: 5.5rem; font-size: .88rem; }
}
@media (min-width: 62rem) {
  .jumps { display: none; }
  .two { display: grid; grid-template-columns: minmax(0, 1.1fr) minmax(0, 1fr); grid-template-rows: auto 1fr; gap: 0 1.25rem; align-items: start; }
  .two > .facts { grid-column: 2; grid-row: 1 / span 2; }
  .lines li { grid-template-columns: 7.5rem minmax(0, 2.2fr) minmax(0, 1fr) minmax(0, 1.3fr) minmax(0, 1.2fr); }
  ul.coming li { grid-template-columns: 3.2rem minmax(0, 1fr) minmax(0, 2.4fr); }
  ul.coming li > :last-child { grid-column: auto; }
  ol.people > li { grid-template-columns: minmax(0, 1fr) auto; }
  ol.people > li > .acts { grid-column: 2; grid-row: 1 / span 4; align-self: center; }
}
`;

/** The mark of the desk in a browser's tab: eight dots, for eight feeds. */
export const icon = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><rect width="32" height="32" rx="6" fill="#0b5394"/><g fill="#fff"><circle cx="8" cy="10" r="2.6"/><circle cx="13.5" cy="10" r="2.6"/><circle cx="19" cy="10" r="2.6"/><circle cx="24.5" cy="10" r="2.6"/><circle cx="8" cy="21" r="2.6"/><circle cx="13.5" cy="21" r="2.6"/><circle cx="19" cy="21" r="2.6"/><circle cx="24.5" cy="21" r="2.6"/></g></svg>`;
