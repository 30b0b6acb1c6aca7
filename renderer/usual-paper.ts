import type { Paper } from '../shared/bridge.ts'

/** The paper that is usual where this person's language is spoken. */
export const usualPaper: Paper = /^en-(US|CA)$/.test(navigator.language) ? 'Letter' : 'A4'
