import { defineStore } from 'pinia'
import { ref } from 'vue'
import type { Problem } from '../../shared/problem.ts'

export type Notice = { id: number; words: string; tone: 'plain' | 'problem'; undo: boolean }

let last = 0

/** Short words at the foot of the page that something was done or could not be done. */
export const useNotices = defineStore('notices', () => {
  const notices = ref<Notice[]>([])

  // An offer to undo holds for the last step only, so that word of a new one takes the place of older ones.
  function add(notice: Omit<Notice, 'id'>) {
    last += 1
    const problems = notices.value.filter(({ tone }) => tone === 'problem').slice(-2)
    notices.value = [...problems, { id: last, ...notice }]
  }
  /** Says that something was done; with `undo` it offers to take the step back. */
  function say(words: string, options: { undo?: boolean } = {}) {
    add({ words, tone: 'plain', undo: options.undo ?? false })
  }
  /** Says what could not be done. */
  function complain(problems: Problem[]) {
    add({ words: problems.map((problem) => problem.message).join(' '), tone: 'problem', undo: false })
  }
  function dismiss(id: number) {
    notices.value = notices.value.filter((notice) => notice.id !== id)
  }

  return { notices, say, complain, dismiss }
})
