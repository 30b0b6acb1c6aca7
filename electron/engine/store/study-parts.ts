/** A table with the rows of it that belong to a study; `@studyId` stands for the study. */
type StudyPart = { table: string; rows: string }

const ofStudy = 'studyId = @studyId'
const runs = 'SELECT id FROM run WHERE studyId = @studyId'
const sessions = 'SELECT id FROM session WHERE studyId = @studyId'
const bottles = `SELECT bottleId FROM study WHERE id = @studyId AND bottleId IS NOT NULL
  UNION SELECT bottleId FROM session WHERE studyId = @studyId AND bottleId IS NOT NULL`
const substrates = 'SELECT substrateId FROM run WHERE studyId = @studyId AND substrateId IS NOT NULL'

/** What a column of the study's own rows held at any time. */
function onceNamed(column: string): string {
  const of = (state: string) =>
    `SELECT json_extract(${state}, '$.${column}') FROM change WHERE tableName IN ('study', 'session', 'run', 'event')
     AND step IN (SELECT id FROM step WHERE studyId = @studyId)`
  return `id IN (${of('before')} UNION ${of('after')})`
}

/**
 * What a study uses and others may use too: tools, bottles, engraved substrates. `once` are those that its history names
 * beside, which undo needs: the tool that it had before another was chosen.
 */
export const sharedParts: readonly (StudyPart & { once: string })[] = [
  {
    table: 'coater',
    rows: 'id IN (SELECT coaterId FROM study WHERE id = @studyId)',
    once: onceNamed('coaterId'),
  },
  {
    table: 'hotPlate',
    rows: 'id IN (SELECT hotPlateId FROM study WHERE id = @studyId)',
    once: onceNamed('hotPlateId'),
  },
  {
    table: 'gauge',
    rows: 'id IN (SELECT gaugeId FROM study WHERE id = @studyId)',
    once: onceNamed('gaugeId'),
  },
  { table: 'bottle', rows: `id IN (${bottles})`, once: onceNamed('bottleId') },
  { table: 'substrate', rows: `id IN (${substrates})`, once: onceNamed('substrateId') },
]

/** What is the study's own, so that a row stands behind those that it refers to. */
export const ownParts: readonly StudyPart[] = [
  { table: 'study', rows: 'id = @studyId' },
  { table: 'factor', rows: ofStudy },
  { table: 'stage', rows: ofStudy },
  { table: 'recipe', rows: ofStudy },
  { table: 'driftChoice', rows: 'id IN (SELECT id FROM recipe WHERE studyId = @studyId)' },
  { table: 'session', rows: ofStudy },
  { table: 'run', rows: ofStudy },
  {
    table: 'event',
    // What was poured from a bottle in a session of another study stays with that.
    rows: `id IN (SELECT id FROM event WHERE studyId = @studyId
      UNION SELECT id FROM event WHERE sessionId IN (${sessions})
      UNION SELECT id FROM event WHERE sessionId IS NULL AND bottleId IN (${bottles})
      UNION SELECT id FROM event WHERE sessionId IS NULL AND substrateId IN (${substrates}))`,
  },
  { table: 'report', rows: 'id = @studyId' },
  { table: 'plateVisit', rows: ofStudy },
  { table: 'import', rows: ofStudy },
  { table: 'importText', rows: 'importId IN (SELECT id FROM import WHERE studyId = @studyId)' },
  { table: 'reading', rows: `runId IN (${runs})` },
  {
    table: 'exclusion',
    rows: `readingId IN (SELECT id FROM reading WHERE runId IN (${runs}))`,
  },
  { table: 'trace', rows: `runId IN (${runs})` },
  { table: 'tracePoints', rows: `traceId IN (SELECT id FROM trace WHERE runId IN (${runs}))` },
  { table: 'readingTrace', rows: `readingId IN (SELECT id FROM reading WHERE runId IN (${runs}))` },
  { table: 'prediction', rows: ofStudy },
  { table: 'lotDecision', rows: ofStudy },
  { table: 'confirmation', rows: ofStudy },
]

/** Every row of a study and of what it uses. */
export const studyParts: readonly StudyPart[] = [...sharedParts, ...ownParts]

/** Tables of no study's own: how the database keeps its record, and what the gauges of a lab are worth. */
export const ofNoStudy: readonly string[] = [
  'step',
  'writing',
  'change',
  'answered',
  'importing',
  'mapping',
  'gaugeStudy',
  'gaugeReading',
  'checkStandard',
  'checkReading',
  // Worked out from what is the study's.
  'runSummary',
]
