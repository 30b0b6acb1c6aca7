import { words } from '../words.ts'

/** The screens, in the order of the work; the keys Alt Shift 1, 2, … lead to them. */
export const screens = ['studies', 'plan', 'bench', 'curves', 'next', 'lots', 'report'] as const
export type Screen = (typeof screens)[number]

export const screenNames: Record<Screen, string> = words.screens

export type Place = { screen: Screen; studyId: string | null; runId: string | null }

/** Reads `#plan/STUDY` or `#bench/STUDY/RUN`. Without a study only the first screen can be shown. */
export function parseHash(hash: string): Place {
  const [name = '', studyId = '', runId = ''] = hash.replace(/^#/, '').split('/')
  const screen = screens.find((each) => each === name) ?? 'studies'
  return {
    screen: studyId === '' ? 'studies' : screen,
    studyId: studyId || null,
    runId: (studyId && runId) || null,
  }
}

export function toHash(place: Place): string {
  return [place.screen, place.studyId, place.studyId && place.runId].filter(Boolean).join('/')
}
