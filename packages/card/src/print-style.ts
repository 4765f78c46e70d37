/** The card on paper: two sheets of A4 or Letter, dense, in ink that survives a grey printer. */
export const PRINT_STYLE = `
@page { margin:7mm 9mm; }
@media print {
  :root { color-scheme:light; --ink:#000; --soft:#333; --line:#aaa; --ground:#fff; --panel:#f1f1f1; --mark:#000; }
  body { font:7.7pt/1.17 "Liberation Sans", Arial, Helvetica, sans-serif; } main { max-width:none; padding:0; }
  .viewer, details:not([open]) { display:none !important; }
  h1 { font-size:13pt; margin:0; } h2, details.part > summary { font-size:9.5pt; margin:3pt 0 1.2pt; padding-bottom:.5pt; border-bottom-width:1pt; min-height:0; break-after:avoid; }
  .glance h2 { font-size:7.6pt; margin:0; padding:0; font-weight:400; } p { margin:1.5pt 0; } .under { margin:0 0 2pt; }
  .banner { border-width:1.5pt; padding:2pt 4pt; margin:2pt 0; }
  .glance { grid-template-columns:repeat(4, 1fr); gap:4pt; margin:3pt 0; } .glance section { padding:2pt 4pt; border-left-width:3pt; } .glance .big { font-size:9.5pt; margin:0; }
  figcaption { font-size:7pt; margin-top:1pt; } .thumbs figcaption, .draft figcaption { text-align:center; } figure svg { max-height:23mm; width:auto; max-width:100%; margin:0 auto; }
  .views { grid-template-columns:repeat(4, 1fr); gap:4pt; } .drawings { grid-template-columns:1.5fr 1fr; gap:6pt; margin:2pt 0; } .drawings figcaption { font-size:6.8pt; line-height:1.1; } .drawings svg { max-height:23mm; }
  .thumbs { grid-template-columns:repeat(5, 1fr); gap:4pt; margin:2pt 0; } .thumbs svg { max-height:14mm; } .thumbs .more { display:none; }
  .rungs { grid-template-columns:repeat(4, 1fr); } .rungs svg { max-height:17mm; } .rungs br ~ br { display:none; }
  .views figcaption { display:none; } .draft .views figcaption { display:block; }
  .draft { display:grid; grid-template-columns:2.2fr 1fr; column-gap:6mm; align-content:start; } .draft h2 { grid-column:1 / 3; } .draft > p { grid-area:2 / 2; } .draft > .legend { grid-area:3 / 2; display:block; align-self:start; }
  .draft .views { grid-area:2 / 1 / 4 / 2; grid-template-columns:1fr 1fr; } .draft figure svg { max-height:16mm; }
  .legend { gap:1pt 6pt; margin:2pt 0; font-size:7pt; } .legend svg { width:11pt; height:7.4pt; vertical-align:-1pt; margin-right:3pt; }
  .bench { columns:2; column-gap:7mm; }
  th, td { padding:.9pt 4pt .9pt 0; } td.n, th.n { padding-right:4pt; } thead th { font-size:7.2pt; border-bottom-width:1pt; } tbody th { min-width:17mm; }
  .ways td:nth-child(2) { min-width:28mm; } .ways th, .ways td { font-size:7.2pt; }
  .box { width:8pt; height:8pt; border-width:1pt; vertical-align:-1pt; }
  .cures { columns:2; column-gap:7mm; margin:1pt 0; } .cures + .small { display:none; }
  .findings { margin:2pt 0; } .knowing .findings { columns:3; column-gap:5mm; font-size:7pt; line-height:1.14; } .findings li { margin:0 0 2pt; padding-left:4pt; border-left-width:2pt; }
  .cautions { columns:3; column-gap:5mm; margin:2pt 0; padding-left:9pt; font-size:7pt; line-height:1.14; } .cautions li { margin:0 0 1.4pt; }
  figure, tr, li, .glance section, .charge { break-inside:avoid; }
  .glance section, .legend svg, tr.chosen td, tr.chosen th { print-color-adjust:exact; -webkit-print-color-adjust:exact; }
  small, .small { font-size:7pt; }
}
`;
