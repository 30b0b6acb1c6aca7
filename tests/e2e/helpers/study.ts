import type { Page } from 'playwright-core'
import { expect } from 'vitest'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import type { Door, DoorOptions, OpenDoor } from './doors.ts'
import { callFromPage } from './page-call.ts'

/** Makes calls from within a page; an answer with problems fails the test. */
export const callerOn =
  (page: Page) =>
  async <T>(name: string, args: unknown): Promise<T> => {
    const answer = (await page.evaluate(callFromPage, { name, args })) as { ok: boolean; value: T }
    expect(answer, name).toMatchObject({ ok: true })
    return answer.value
  }

/** Goes to a screen of a study by its address. */
export const showScreen = (page: Page, screen: string, studyId: string): Promise<void> =>
  page.evaluate((hash) => {
    location.hash = hash
  }, `${screen}/${studyId}`)

/** What the page complains of from now on: errors and warnings of its console, and what it throws. */
export function complaintsOf(page: Page): string[] {
  const complaints: string[] = []
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text())
  })
  page.on('pageerror', (error) => complaints.push(String(error)))
  return complaints
}

/** A door that stands open on one study. */
export type StudyOpen = OpenDoor & {
  studyId: string
  call: ReturnType<typeof callerOn>
  complaints: string[]
}

/** Opens the door on a new study, planned where there are factors, or on the demo study, and shows a screen of it. */
export async function openStudy(
  door: Door,
  screen: string,
  made: 'demo' | { study: object; factors?: Factor[]; design?: DesignSettings },
  options: DoorOptions = {},
): Promise<StudyOpen> {
  const open = await door.open(options)
  const call = callerOn(open.page)
  const complaints = complaintsOf(open.page)
  const { studyId } =
    made === 'demo'
      ? await call<{ studyId: string }>('studies.demo', {})
      : await call<{ studyId: string }>('studies.create', { study: made.study })
  if (made !== 'demo' && made.factors)
    await call('plans.save', { studyId, factors: made.factors, design: made.design })
  await showScreen(open.page, screen, studyId)
  return { ...open, studyId, call, complaints }
}
