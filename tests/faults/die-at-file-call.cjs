const fs = require('node:fs')
const { isMainThread } = require('node:worker_threads')

/**
 * Loaded before a process's own modules: kills it just before the call of the file system that EVENFILM_DIE_AT names,
 * such as `thread 3`, counted over those of its main thread, or of each other thread, that change something.
 */
const [where, number] = (process.env.EVENFILM_DIE_AT ?? '').split(' ')
let calls = 0
const changing = [
  'renameSync',
  'rmSync',
  'unlinkSync',
  'fsyncSync',
  'linkSync',
  'copyFileSync',
  'writeFileSync',
]
if (where === (isMainThread ? 'main' : 'thread'))
  for (const name of changing) {
    const own = fs[name]
    fs[name] = (...args) => {
      if (++calls === Number(number)) process.kill(process.pid, 'SIGKILL')
      return own(...args)
    }
  }
