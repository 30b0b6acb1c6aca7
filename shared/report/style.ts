import type { ChartTheme } from '../charts/theme.ts'

/** The style sheet of the document in the colours of a theme: of the page, or of paper. */
export function styleSheet(theme: ChartTheme): string {
  return `
html { background: ${theme.ground}; color: ${theme.ink}; font-family: ${theme.font}; font-size: 13px; line-height: 1.4; font-variant-numeric: tabular-nums; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
::-webkit-scrollbar { width: 10px; height: 10px; }
::-webkit-scrollbar-track, ::-webkit-scrollbar-corner { background: ${theme.ground}; }
::-webkit-scrollbar-thumb { background: ${theme.inkSoft}; border-radius: 5px; }
::selection { background: ${theme.ink}; color: ${theme.ground}; }
body { max-width: 60rem; margin: 0 auto; padding: 1rem 1.25rem 3rem; overflow-wrap: anywhere; }
h1, h2, h3, p, li, dt, dd, th, td, caption, figcaption { unicode-bidi: plaintext; }
h1 { font-size: 1.7rem; line-height: 1.25; margin: 0 0 0.25rem; }
h2 { font-size: 1.25rem; margin: 2rem 0 0.5rem; padding-top: 0.5rem; border-top: 1px solid ${theme.inkSoft}; }
h3 { font-size: 1rem; margin: 1.25rem 0 0.25rem; }
p, ul, ol, dl { margin: 0.4rem 0; }
ul { padding-left: 1.2em; }
dl div { display: grid; grid-template-columns: 13rem minmax(0, 1fr); gap: 0.75rem; padding: 2px 0; border-bottom: 1px solid ${theme.grid}; }
dt, .soft, caption { color: ${theme.inkSoft}; }
dd { margin: 0; }
dd p { margin: 0; }
.formula { white-space: pre-line; }
table { border-collapse: collapse; width: 100%; margin: 0.75rem 0; }
caption { text-align: left; padding-bottom: 0.25rem; }
th, td { text-align: left; vertical-align: top; padding: 2px 0.6rem 2px 0; border-bottom: 1px solid ${theme.grid}; }
th { border-bottom-color: ${theme.inkSoft}; font-weight: 600; }
th, td { overflow-wrap: break-word; }
th.number, td.number { text-align: right; }
td.number { white-space: nowrap; }
td.words { min-width: 17em; }
.long, td.number.long { overflow-wrap: anywhere; white-space: normal; }
code { font-family: inherit; font-weight: 600; }
figure { margin: 0.75rem 0; break-inside: avoid; }
figcaption { color: ${theme.inkSoft}; }
svg { display: block; max-width: 100%; height: auto; }
.pair { display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); gap: 0.75rem; }
.maps { display: grid; grid-template-columns: repeat(4, minmax(0, 1fr)); gap: 0.75rem; }
.maps figure { margin: 0; }
.readings span { display: inline-block; max-width: 100%; overflow-wrap: anywhere; min-width: 5.2em; margin-right: 0.6em; }
.readings sub { color: ${theme.inkSoft}; }
.note { white-space: pre-wrap; border-left: 3px solid ${theme.accent}; padding-left: 0.75rem; margin: 1.25rem 0; }
.warning, .stale { color: ${theme.outside}; }
.stale { border: 1px solid ${theme.outside}; padding: 0.35rem 0.6rem; }
.simulated { border: 2px solid ${theme.ink}; padding: 0.35rem 0.6rem; font-weight: 600; }
@page { margin: 16mm 14mm 18mm; }
@media print {
  html { font-size: 9.5pt; }
  body { max-width: none; padding: 0; }
  thead { display: table-header-group; }
  tr, figure, svg, .stale, dl div { break-inside: avoid; }
  h2, h3, caption, thead { break-after: avoid; }
  tbody tr:first-child, dl div:first-child { break-before: avoid; }
}
@media screen and (max-width: 860px) {
  table { font-size: 0.88em; }
  td.words { min-width: 11em; }
}
@media (max-width: 640px) {
  .pair, .maps { grid-template-columns: repeat(2, minmax(0, 1fr)); }
  dl div { grid-template-columns: minmax(0, 1fr); gap: 0; }
}
`
}
