import { readingProblems } from '../../../shared/film/reading-problems.ts'
import { unitsOf } from '../../../shared/film/run-summary.ts'
import { columnNamed, isCategorical } from '../../../shared/model/table.ts'
import { good } from '../../../shared/problem.ts'
import type { StudyTable } from '../compute/study-data.ts'
import { sessionsWithBottles } from '../store/bottles.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { runsOf } from '../store/runs.ts'
import { findStudy, type Handlers } from './handler.ts'
import { dataFor, fitInput, fitOfKindInput, overDaysInput } from './study-fit.ts'
import { scatterOfStudy } from './study-scatter.ts'
import { includedRows, studyTable } from './study-table.ts'
import { suggestionsFor } from './suggestions.ts'

type Names =
  | 'fits.models'
  | 'fits.table'
  | 'fits.fit'
  | 'fits.scatter'
  | 'fits.curve'
  | 'fits.contour'
  | 'fits.predict'
  | 'fits.target'
  | 'fits.transformation'
  | 'fits.doubts'
  | 'fits.compareModels'

export const fits: Handlers<Names> = {
  'fits.models': ({ studyId, response }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const data = includedRows(studyTable(store, study.value))
    const responses = data.responses.length > 0 ? data.responses : ['thickness']
    return good({
      responses,
      suggestions: suggestionsFor(study.value, data, response),
      groupings: groupingsFor(data, response),
    })
  },

  'fits.table': ({ studyId }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const { table, runs, excluded } = studyTable(store, study.value)
    const columns = table.columns.map((column) => ({
      name: column.name,
      unit: column.unit ?? '',
      categorical: isCategorical(column),
    }))
    const rows = runs.map((run, row) => ({
      runId: run.id,
      code: run.code,
      monitor: run.kind === 'monitor',
      values: Object.fromEntries(table.columns.map(({ name, values }) => [name, values[row] ?? null])),
      excluded: excluded[row] ?? null,
    }))
    return good({ columns, rows })
  },

  'fits.fit': {
    computation: 'fit',
    ask: (question, store) => fitOfKindInput(store, question),
    finish(result, { studyId, response }, store) {
      const study = findStudy(store, studyId)
      if (!study.ok) return study
      const summaries = summariesOfStudy(store.db, study.value, runsOf(store.db, studyId))
      // How the film was read says nothing of another quantity.
      if (unitsOf(summaries.values()).has(response)) return good(result)
      const read = readingProblems(study.value, summaries.values())
      return good({ ...result, fit: { ...result.fit, problems: [...read, ...result.fit.problems] } })
    },
  },

  'fits.scatter': {
    computation: 'scatter',
    ask({ studyId, model }, store) {
      const study = findStudy(store, studyId)
      return study.ok ? good(scatterOfStudy(store, study.value, model ?? study.value.model)) : study
    },
    finish: good,
  },

  'fits.curve': {
    computation: 'curve',
    ask({ factor, at, ...question }, store) {
      const input = fitOfKindInput(store, question)
      return input.ok ? good({ ...input.value, factor, at }) : input
    },
    finish: good,
  },

  'fits.contour': {
    computation: 'contour',
    ask({ x, y, at, ...question }, store) {
      const input = fitOfKindInput(store, question)
      return input.ok ? good({ ...input.value, x, y, at }) : input
    },
    finish: good,
  },

  'fits.predict': {
    computation: 'predictions',
    ask({ at, ...question }, store) {
      const input = fitOfKindInput(store, question)
      return input.ok ? good({ ...input.value, at }) : input
    },
    finish: good,
  },

  'fits.target': {
    computation: 'targetSetting',
    ask({ factor, target, at, ...question }, store) {
      const input = fitOfKindInput(store, question)
      return input.ok ? good({ ...input.value, factor, target, at }) : input
    },
    finish: good,
  },

  'fits.transformation': {
    computation: 'transformation',
    ask: (question, store) => fitInput(store, question),
    finish: good,
  },

  'fits.doubts': {
    computation: 'doubts',
    ask(question, store) {
      const input = overDaysInput(store, question)
      if (!input.ok) return input
      const sessions = sessionsWithBottles(store.db, question.studyId)
      return good({ ...input.value, response: question.response, sessions })
    },
    finish: good,
  },

  'fits.compareModels': {
    computation: 'modelComparison',
    ask({ studyId, response, models }, store) {
      // The models are held to one response among each other.
      const found = dataFor(store, { studyId, response, model: models[0] ?? '' })
      if (!found.ok) return found
      const { data } = found.value
      const visits = groupingsFor(data, response).find(({ random }) => random.endsWith('plateVisit'))
      return good({ data, models, group: visits?.random })
    },
    finish: good,
  },
}

const groupWords: Record<string, string> = {
  session: 'Sessions',
  plateVisit: 'Plate visits',
  'session/plateVisit': 'Sessions, and plate visits within them',
}

/** Groups of runs that were read more than once and are more than one: their variance can be told from that of runs. */
function groupingsFor({ table, runs }: StudyTable, response: string) {
  const cells = (name: string) => columnNamed(table, name)?.values ?? []
  const read = runs.flatMap((_, row) => (cells(response)[row] == null ? [] : [row]))
  const groupsOf = (names: string[]) => {
    const keys = read.map((row) => names.map((name) => cells(name)[row] ?? null))
    return keys.some((key) => key.includes(null)) ? 0 : new Set(keys.map((key) => JSON.stringify(key))).size
  }
  const sessions = groupsOf(['session'])
  const visits = groupsOf(['session', 'plateVisit'])
  const found = [
    ...(sessions > 1 && sessions < read.length ? ['session'] : []),
    ...(visits > 1 && visits < read.length && visits > sessions
      ? [sessions > 1 ? 'session/plateVisit' : 'plateVisit']
      : []),
  ]
  return found.map((random) => ({ random, words: groupWords[random] as string }))
}
