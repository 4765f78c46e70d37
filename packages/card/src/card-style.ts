/** The look of the mould card: dark on white paper, large enough for gloves. */
import { PRINT_STYLE } from './print-style.js';

/** On screens, light and dark, wide and narrow; then on paper. */
export const CARD_STYLE: string = `
:root { color-scheme: light dark; --ink:#16181d; --soft:#50565f; --line:#c9ccd1; --ground:#ffffff; --panel:#f3f3ef; --mark:#601842; }
@media (prefers-color-scheme: dark) { :root { --ink:#eceae4; --soft:#b9b8b2; --line:#4a4d53; --ground:#17191d; --panel:#22252b; --mark:#e6a3c8; } }
* { box-sizing: border-box; }
body { margin:0; background:var(--ground); color:var(--ink); font:17px/1.45 system-ui, -apple-system, "Segoe UI", "Liberation Sans", Arial, sans-serif; }
main { max-width:60rem; margin:0 auto; padding:1rem 1.1rem 3rem; overflow-wrap:break-word; }
h1 { font-size:1.65rem; margin:.2rem 0 .1rem; line-height:1.2; overflow-wrap:anywhere; }
h2, details.part > summary { font-size:1.2rem; font-weight:700; margin:1.7rem 0 .5rem; padding-bottom:.2rem; border-bottom:2px solid var(--ink); }
.glance h2 { font-size:1rem; margin:0 0 .25rem; padding:0; border:0; }
summary { cursor:pointer; min-height:2.8rem; padding-top:.6rem; font-weight:600; }
p { margin:.35rem 0; }
a { color:inherit; }
.under { color:var(--soft); margin:0 0 .8rem; }
.banner { border:3px solid var(--ink); padding:.6rem .8rem; font-weight:600; margin:.6rem 0; }
.glance { display:grid; grid-template-columns:repeat(auto-fit, minmax(13.5rem, 1fr)); gap:.7rem; margin:.9rem 0; }
.glance section { background:var(--panel); padding:.7rem .8rem; border-left:6px solid var(--ink); }
.glance .big { font-size:1.3rem; font-weight:700; line-height:1.2; margin:.1rem 0 .25rem; overflow-wrap:anywhere; }
.views { display:grid; grid-template-columns:repeat(auto-fit, minmax(min(100%, 22rem), 1fr)); gap:1rem; align-items:end; }
.drawings { display:grid; gap:1rem; align-items:end; margin:.8rem 0; }
.thumbs { display:grid; grid-template-columns:repeat(auto-fit, minmax(8.5rem, 1fr)); gap:.7rem; margin:.6rem 0 1rem; align-items:end; }
.rungs { grid-template-columns:repeat(auto-fit, minmax(9.6rem, 1fr)); align-items:start; }
figure { margin:0; min-width:0; }
figure svg { width:100%; height:auto; display:block; background:#fff; border:1px solid var(--line); }
figcaption { font-size:.92rem; color:var(--soft); margin-top:.25rem; }
.legend { display:flex; flex-wrap:wrap; gap:.35rem 1.1rem; margin:.7rem 0; padding:0; list-style:none; font-size:.95rem; }
.legend svg, .chip { display:inline-block; width:1.7rem; height:1.1rem; vertical-align:-.15rem; margin-right:.4rem; border:1px solid #555; }
.viewer { margin:1rem 0; } .viewer[hidden] { display:none; }
.viewer canvas { width:100%; height:min(62vh, 30rem); display:block; border:1px solid var(--line); background:#fff; touch-action:none; cursor:grab; }
.viewer canvas:focus-visible, button:focus-visible, select:focus-visible, input:focus-visible, summary:focus-visible { outline:3px solid var(--mark); outline-offset:2px; }
.says { font-weight:600; min-height:1.5em; }
.controls { display:flex; flex-wrap:wrap; gap:.6rem; align-items:center; }
.controls button, .controls select { font:inherit; min-height:3rem; padding:.4rem .8rem; color:var(--ink); background:var(--panel); border:2px solid var(--ink); border-radius:.3rem; max-width:100%; }
.controls label { display:flex; flex-wrap:wrap; align-items:center; gap:.4rem; max-width:100%; } .controls .bar { flex:1 1 16rem; } .controls input { flex:1; min-width:8rem; height:3rem; accent-color:var(--ink); }
table { border-collapse:collapse; width:100%; font-variant-numeric:tabular-nums; }
th, td { text-align:left; padding:.36rem .55rem .36rem 0; border-bottom:1px solid var(--line); vertical-align:top; }
td.n, th.n { text-align:right; padding-right:.9rem; white-space:nowrap; }
thead th { border-bottom:2px solid var(--ink); font-size:.92rem; vertical-align:bottom; }
thead th.n { white-space:normal; }
tbody th { min-width:5.5rem; } .ways tbody th { min-width:0; }
.ways td:nth-child(2) { min-width:6.5rem; }
tr.chosen td, tr.chosen th { background:var(--panel); font-weight:600; }
.narrow { display:none; }
.box { display:inline-block; width:1.15rem; height:1.15rem; border:2px solid var(--ink); vertical-align:-.2rem; }
.problem { border-left:6px solid var(--mark); padding-left:.7rem; }
.warning { border-left:6px solid var(--soft); padding-left:.7rem; }
.note { border-left:6px solid var(--line); padding-left:.7rem; }
.cures { margin:.2rem 0; padding-left:1.2rem; }
.findings { list-style:none; padding:0; } .findings li { margin:.5rem 0; }
.cautions li { margin:.3rem 0; }
small, .small { font-size:.88rem; color:var(--soft); }
@media screen { .ways th, .ways td { font-size:.92rem; padding-right:.45rem; } }
@media screen and (min-width:50rem) { .drawings { grid-template-columns:1.7fr 1fr; } }
@media screen and (max-width:40rem) {
  body { font-size:18px; } main { padding:.7rem .8rem 2rem; } h1 { font-size:1.4rem; } .narrow { display:inline; }
  .stack, .stack tbody, .stack tr, .stack th, .stack td, table:not(.stack), table:not(.stack) tbody, table:not(.stack) tr, table:not(.stack) th, table:not(.stack) td { display:block; min-width:0; width:auto; }
  .stack thead, .stack .empty { display:none; }
  tr { border-bottom:2px solid var(--line); padding:.4rem 0; } tr.chosen { background:var(--panel); padding-left:.5rem; }
  th, td { border:0; padding:.12rem 0; } td.n { text-align:left; white-space:normal; }
  .stack td[data-label]::before { content:attr(data-label) ": "; color:var(--soft); font-weight:400; }
  .controls > button { flex:1 1 8rem; }
}
${PRINT_STYLE}`;
