import { describe, expectTypeOf, test } from 'vitest'
import type { callEngine } from '../../../renderer/client.ts'
import type { useHistory } from '../../../renderer/stores/history.ts'
import type { useNotices } from '../../../renderer/stores/notices.ts'
import type { usePendingImport } from '../../../renderer/stores/pending-import.ts'
import type { useRecent } from '../../../renderer/stores/recent.ts'
import type { useReplan } from '../../../renderer/stores/replan.ts'
import type { useRoute } from '../../../renderer/stores/route.ts'
import type { RunRow, useRuns } from '../../../renderer/stores/runs.ts'
import type { Screen } from '../../../renderer/stores/screens.ts'
import type { DecimalChoice, Theme, useSettings } from '../../../renderer/stores/settings.ts'
import type { Step } from '../../../renderer/stores/steps.ts'
import type { StudyChange, useStudy } from '../../../renderer/stores/study.ts'
import type { useTools } from '../../../renderer/stores/tools.ts'
import type { FilmSummary } from '../../../shared/contract/results/film.ts'
import type { Run, Settings, Study } from '../../../shared/contract/things.ts'
import type { Coater, Gauge, HotPlate } from '../../../shared/contract/tools.ts'
import type { Args, CallName, Result } from '../../../shared/contract.ts'
import type { DecimalSign } from '../../../shared/numbers.ts'
import type { Answer, Problem } from '../../../shared/problem.ts'
import type { ThicknessUnit } from '../../../shared/units.ts'

/** These are held by the type check, not when they run. */
type Store<Use extends () => unknown> = ReturnType<Use>

describe('calls of the engine', () => {
  type Call = typeof callEngine

  test('a call takes what the contract asks for, and nothing else', () => {
    expectTypeOf<Call>().toBeCallableWith('studies.get', { studyId: '' })
    // @ts-expect-error: there is no such call
    expectTypeOf<Call>().toBeCallableWith('studies.forget', { studyId: '' })
    expectTypeOf<Args<'studies.get'>>().toEqualTypeOf<{ studyId: string }>()
    expectTypeOf<Args<'reports.document'>['theme']>().toExtend<{ ink: string } | undefined>()
    expectTypeOf<'reports.runsCsv'>().toExtend<CallName>()
  })

  test('an answer is a value of the contract, or problems', () => {
    const ask = null as unknown as Call
    type Got = Awaited<ReturnType<typeof ask<'bench.runs'>>>
    expectTypeOf<Got>().toEqualTypeOf<Answer<Result<'bench.runs'>>>()
    expectTypeOf<Extract<Got, { ok: false }>['problems']>().toEqualTypeOf<Problem[]>()
  })

  test('what screens rely on stands in the results', () => {
    expectTypeOf<Result<'studies.get'>>().toExtend<Study>()
    expectTypeOf<Result<'bench.runs'>[number]>().toExtend<Run>()
    expectTypeOf<NonNullable<Result<'bench.runs'>[number]['film']>>().toExtend<
      Pick<FilmSummary, 'mean' | 'n'>
    >()
    expectTypeOf<Result<'fits.fit'>['fit']['terms'][number]['estimate']>().toEqualTypeOf<number>()
    expectTypeOf<Result<'fits.fit'>['fit']['terms'][number]['p']>().toEqualTypeOf<number | null>()
    expectTypeOf<Result<'next.recommend'>['choices'][number]['settings']>().toEqualTypeOf<Settings>()
    expectTypeOf<Result<'reports.document'>>().toEqualTypeOf<{
      fileName: string
      text: string
      stale: string[]
    }>()
  })
})

describe('stores', () => {
  test('the study in hand is a study or null, and its unit is always one', () => {
    type It = Store<typeof useStudy>
    expectTypeOf<It['study']>().toEqualTypeOf<Result<'studies.get'> | null>()
    expectTypeOf<It['list']>().toEqualTypeOf<Result<'studies.list'>>()
    expectTypeOf<It['unit']>().toEqualTypeOf<ThicknessUnit>()
    expectTypeOf<It['update']>().parameters.toEqualTypeOf<[change: StudyChange]>()
    expectTypeOf<It['create']>().returns.resolves.toEqualTypeOf<Answer<{ studyId: string }>>()
    expectTypeOf<StudyChange>().toExtend<Partial<Study>>()
  })

  test('the runs come with their films; the next run may be none', () => {
    type It = Store<typeof useRuns>
    expectTypeOf<It['runs']>().toEqualTypeOf<RunRow[]>()
    expectTypeOf<It['kept']>().toEqualTypeOf<RunRow[]>()
    expectTypeOf<It['measured']>().toEqualTypeOf<RunRow[]>()
    expectTypeOf<It['nextRun']>().toEqualTypeOf<RunRow | null>()
  })

  test('the place is a screen, with a study and a run or none', () => {
    type It = Store<typeof useRoute>
    expectTypeOf<It['screen']>().toEqualTypeOf<Screen>()
    expectTypeOf<It['studyId']>().toEqualTypeOf<string | null>()
    expectTypeOf<It['runId']>().toEqualTypeOf<string | null>()
    expectTypeOf<It['go']>().toBeCallableWith('bench', { runId: null })
    expectTypeOf<It['go']>().parameter(0).not.toEqualTypeOf<string>()
  })

  test('the settings are of what there is to choose; the sign follows and is never set', () => {
    type It = Store<typeof useSettings>
    expectTypeOf<It['theme']>().toEqualTypeOf<Theme>()
    expectTypeOf<It['unit']>().toEqualTypeOf<ThicknessUnit | null>()
    expectTypeOf<It['decimals']>().toEqualTypeOf<DecimalChoice>()
    expectTypeOf<It['sign']>().toEqualTypeOf<DecimalSign>()
    expectTypeOf<It['hintsRead']>().toEqualTypeOf<string[]>()
    const settings = { sign: 'point' } as It
    // @ts-expect-error: it is computed of the choice and the system
    settings.sign = 'comma'
  })

  test('steps of the history have a state, and either may be missing', () => {
    type It = Store<typeof useHistory>
    expectTypeOf<It['undoStep']>().toEqualTypeOf<Step | null>()
    expectTypeOf<It['redoStep']>().toEqualTypeOf<Step | null>()
    expectTypeOf<Step['state']>().toEqualTypeOf<'done' | 'undone'>()
    expectTypeOf<It['undo']>().returns.toEqualTypeOf<Promise<void>>()
  })

  test('tools are kept by the contract’s own shapes', () => {
    type It = Store<typeof useTools>
    expectTypeOf<It['coaters']>().toEqualTypeOf<Coater[]>()
    expectTypeOf<It['hotPlates']>().toEqualTypeOf<HotPlate[]>()
    expectTypeOf<It['gauges']>().toEqualTypeOf<Gauge[]>()
    expectTypeOf<It['saveGauge']>().returns.resolves.toEqualTypeOf<Answer<{ id: string }>>()
  })

  test('notices take words or problems; the rest keep what they are named for', () => {
    type Notices = Store<typeof useNotices>
    expectTypeOf<Notices['say']>().parameter(0).toEqualTypeOf<string>()
    expectTypeOf<Notices['complain']>().parameters.toEqualTypeOf<[problems: Problem[]]>()
    expectTypeOf<Store<typeof usePendingImport>['files'][number]>().toEqualTypeOf<{
      fileName: string
      text: string
    }>()
    expectTypeOf<Store<typeof useRecent>['studyIds']>().toEqualTypeOf<string[]>()
    expectTypeOf<Store<typeof useReplan>['open']>().toEqualTypeOf<boolean>()
  })
})
