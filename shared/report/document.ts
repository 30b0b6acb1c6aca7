import type { ReportPart } from '../contract/report.ts'
import { stale } from './blocks.ts'
import { type Html, html, markup } from './html.ts'
import { partTitles } from './part-titles.ts'
import { aim } from './parts/aim.ts'
import { cautions } from './parts/cautions.ts'
import { checks } from './parts/checks.ts'
import { conditions } from './parts/conditions.ts'
import { decision } from './parts/decision.ts'
import { design } from './parts/design.ts'
import { drift } from './parts/drift.ts'
import { exclusions } from './parts/exclusions.ts'
import { films } from './parts/films.ts'
import { fits } from './parts/fits.ts'
import { ledger } from './parts/ledger.ts'
import { lots } from './parts/lots.ts'
import { methods } from './parts/methods.ts'
import { origin } from './parts/origin.ts'
import { otherFits } from './parts/other-fits.ts'
import { readings } from './parts/readings.ts'
import { runs } from './parts/runs.ts'
import { tools } from './parts/tools.ts'
import type { ReportData } from './report-data.ts'
import { moment, shortHash } from './shown.ts'
import { styleSheet } from './style.ts'

const parts: Record<ReportPart, (data: ReportData) => Html | (Html | null)[]> = {
  aim,
  conditions,
  tools,
  lots,
  design,
  runs,
  films,
  fits,
  checks,
  otherFits,
  decision,
  ledger,
  drift,
  cautions,
  exclusions,
  readings,
  methods,
  origin,
}

/**
 * The report of a study as one HTML document: one style element, drawings as SVG within it, no script, nothing from
 * elsewhere. The style element has no attributes, so that a page whose content policy asks for a nonce can give it one.
 */
export function reportDocument(data: ReportData): string {
  const { study, items, theme, writtenAt, versions } = data
  const head = html`<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>${study.name}</title>${markup(`<style>${styleSheet(theme)}</style>`)}`
  const body = items
    .filter((item) => item.kind === 'part' || item.text.trim() !== '')
    .map((item) => (item.kind === 'note' ? noteOf(item, data) : partOf(item.part, data)))
  const page = html`<h1>${study.name}</h1>${
    study.simulated
      ? html`<p class="simulated">Simulated: the film of this study is invented; no number here was measured.</p>`
      : null
  }${body}<p class="soft">Written ${moment(writtenAt)} by Evenfilm ${versions.program}.</p>`
  return `<!doctype html>\n<html lang="en"><head>${head.markup}</head>\n<body>${page.markup}</body></html>\n`
}

function partOf(name: ReportPart, data: ReportData): Html {
  const content = parts[name](data)
  const pieces = 'markup' in content ? [content] : content.filter((piece) => piece !== null)
  return html`<section id="${name}"><h2>${partTitles[name]}</h2>${pieces}</section>\n`
}

function noteOf(
  { text, at, dataHash }: Extract<ReportData['items'][number], { kind: 'note' }>,
  { hashes }: ReportData,
): Html {
  return html`<section class="note">${
    dataHash === hashes.data
      ? null
      : stale(
          `This note was written ${moment(at)} on other data (${shortHash(dataHash)}); they have changed since (${shortHash(hashes.data)}).`,
        )
  }<p>${text}</p></section>\n`
}
