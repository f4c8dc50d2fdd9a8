/** The page's style sheet, as text. Works from 320 px; colours keep at least 4.5:1. */
export const style = String.raw`
:root { color-scheme: light; --ink: #22312f; --soft: #55655f; --paper: #f7f3ec; --card: #fffdf9; --edge: #d8cfc0;
  --deep: #1d5c63; --deeper: #14454b; --mine: #dcecea; --warm: #fbe9d3; --stop: #8f2f24; }
* { box-sizing: border-box; }
[hidden] { display: none !important; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1rem/1.45 system-ui, "Noto Sans", sans-serif; }
header, main { max-width: 68rem; margin: 0 auto; padding: .8rem 1rem; }
header { display: flex; flex-wrap: wrap; gap: .6rem 2rem; justify-content: space-between; align-items: center; }
h1 { font-size: 1.5rem; margin: 0; letter-spacing: -.01em; }
h2 { font-size: 1.1rem; margin: 0 0 .5rem; }
.title { flex: 1 1 18rem; }
.line { margin: .15rem 0; }
.caution { margin: 0; color: var(--soft); font-size: .9rem; max-width: 34rem; }
.clock { background: var(--card); border: 1px solid var(--edge); border-radius: .75rem; padding: .6rem .9rem;
  display: flex; flex-wrap: wrap; gap: .4rem 1.2rem; align-items: center; max-width: 37rem; }
.clock p { margin: 0; display: flex; flex-wrap: wrap; gap: 0 .6rem; align-items: baseline; flex: 1 0 auto; }
.clock p span, .later { color: var(--soft); font-size: .9rem; }
.clock time { font-size: 1.1rem; font-weight: 600; font-variant-numeric: tabular-nums; }
.clock [role=group] { display: flex; flex-wrap: wrap; gap: .4rem; align-items: center; }
.later { margin-right: .3rem; }
.speak { display: inline-flex; gap: .4rem; align-items: center; font-size: .9rem; }
#lost { max-width: 66rem; margin: 0 auto; padding: .6rem 1rem; background: var(--warm); border-radius: .5rem; }
main { display: grid; gap: 1.5rem; grid-template-columns: repeat(auto-fit, minmax(min(100%, 20rem), 1fr)); align-items: start; }
.phone { min-width: 0; }
.who { display: flex; gap: .6rem; align-items: center; color: var(--soft); font-size: .9rem; }
select, textarea, button { font: inherit; color: inherit; border-radius: .5rem; border: 1px solid #8d958f; background: #fff; }
select { padding: .35rem .5rem; min-width: 9rem; min-height: 2.5rem; }
button { padding: .45rem .8rem; min-height: 2.5rem; cursor: pointer; }
button:hover { background: #f1ece2; }
button:disabled { opacity: .6; cursor: default; }
button.go { background: var(--deep); border-color: var(--deep); color: #fff; }
button.go:hover { background: var(--deeper); }
button.stop { background: var(--stop); border-color: var(--stop); color: #fff; }
button.stop:hover { background: #74241b; }
:focus-visible { outline: 3px solid #d77a1f; outline-offset: 2px; }
.elsewhere { margin: .4rem 0 0; padding: .2rem .6rem; background: var(--warm); border-radius: .5rem; font-size: .92rem; width: fit-content; }
.elsewhere:empty { display: none; }
.about { margin: .6rem 0; min-height: 4.2rem; font-size: .92rem; }
.about p { margin: 0; }
.about .fact { font-weight: 600; }
.about .story { color: var(--soft); }
.handset { background: var(--card); border: 2px solid var(--deep); border-radius: 1.25rem; overflow: hidden;
  max-width: 32rem; display: flex; flex-direction: column; }
.number { margin: 0; padding: .45rem 1rem; background: var(--deep); color: #fff; font-variant-numeric: tabular-nums; font-size: .9rem; }
.screen { height: 19rem; overflow-y: auto; }
.in-call .screen { height: 5.5rem; }
.thread { list-style: none; margin: 0; padding: .75rem; min-height: 100%; display: flex; flex-direction: column; gap: .5rem; }
.thread:empty::before { content: attr(data-empty); color: var(--soft); margin: auto; text-align: center; }
.thread li { max-width: 86%; padding: .45rem .7rem; border-radius: .8rem; background: #f0ebe1; align-self: flex-start; }
.thread li.sent { align-self: flex-end; background: var(--mine); }
.thread li.remark { align-self: center; background: none; color: var(--soft); font-size: .88rem; text-align: center; padding: .1rem; }
.thread p { margin: 0; white-space: pre-wrap; overflow-wrap: anywhere; }
.thread time { display: block; font-size: .75rem; color: var(--soft); }
.call { border-top: 1px solid var(--edge); padding: .75rem; background: var(--warm); }
.call p { margin: 0; }
.stage { font-weight: 600; }
.said { max-height: 8rem; overflow-y: auto; margin: .5rem 0; display: flex; flex-direction: column; gap: .35rem; }
.said p { overflow-wrap: anywhere; color: var(--soft); }
.said p:last-child { color: var(--ink); font-weight: 500; }
.pressed { font-size: .9rem; color: var(--soft); min-height: 1.5rem; }
.pressed output { font-size: 1.1rem; letter-spacing: .2em; color: var(--ink); font-variant-numeric: tabular-nums; }
.call[data-stage=ringing] .keypad, .call[data-stage=ended] .keypad, .call[data-stage=dialling] .keypad,
.call:not([data-stage=talking]) .pressed { display: none; }
.keypad { display: grid; grid-template-columns: repeat(3, 1fr); gap: .4rem; margin: .5rem auto; max-width: 18rem; }
.keypad button { font-size: 1.2rem; min-height: 2.75rem; }
.keypad button[aria-disabled=true] { color: #6d756f; background: #f3eee5; cursor: default; }
.answering, .actions { display: flex; gap: .5rem; }
.answering button { flex: 1; }
.write { border-top: 1px solid var(--edge); padding: .75rem; }
.write label { font-size: .9rem; color: var(--soft); }
.write textarea { display: block; width: 100%; margin: .2rem 0 .5rem; padding: .4rem .6rem; resize: vertical; }
.actions { justify-content: space-between; }
@media (prefers-reduced-motion: no-preference) {
  .call[data-stage=ringing] .stage { animation: ring 1s ease-in-out infinite alternate; }
  @keyframes ring { to { color: var(--stop); } }
}
`;
