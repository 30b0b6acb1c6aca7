import { startEngine } from '../../electron/engine/engine.ts'
import { typingStudy } from '../../tests/bench/typing-study.ts'

async function withEngine(databaseFile, work) {
  const engine = await startEngine({ databaseFile })
  const ok = async (name, args) => {
    const answer = await engine.call(name, args)
    if (!answer.ok) throw new Error(`${name}: ${answer.problems[0].message}`)
    return answer.value
  }
  try {
    return await work(ok)
  } finally {
    await engine.close()
  }
}

const longName = 'Thick positive resist on 150 mm wafers with an adhesion promoter, spring campaign, part'
const longQuestion =
  'Which speed, spin time and soft bake give 1500 nm within 2 % over the whole usable face, on both coaters, and does the lot that came in March still need the same recipe?'

/** The databases that pictures are made of: each writes its file and answers with the study to be shown. */
export const makers = {
  /** One study with a name and nothing else. */
  empty: (file) =>
    withEngine(file, (ok) => ok('studies.create', { study: { name: 'New study' } })).then((s) => s.studyId),

  demo: (file) => withEngine(file, (ok) => ok('studies.demo', {})).then((s) => s.studyId),

  /** Ten studies with long names, one of them with 500 runs of 49 sites. */
  async long(file) {
    const { studyId } = await typingStudy(file, 500)
    await withEngine(file, async (ok) => {
      await ok('studies.update', { studyId, change: { name: `${longName} 1`, question: longQuestion } })
      for (let part = 2; part <= 10; part++)
        await ok('studies.create', {
          study: { name: `${longName} ${part}`, question: longQuestion, targetNm: 1500, toleranceNm: 30 },
        })
    })
    return studyId
  },
}
