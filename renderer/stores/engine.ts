import { defineStore } from 'pinia'
import { ref } from 'vue'
import { onDoorState, startEngineAgain } from '../client.ts'
import type { DoorState } from '../loopback.ts'
import { words } from '../words.ts'
import { useNotices } from './notices.ts'

/** Time in which an engine mostly has been started again, ms. */
const moment = 700

/** How it stands with the engine behind the page, and the way to have it started again. */
export const useEngine = defineStore('engine', () => {
  const notices = useNotices()
  const door = ref<DoorState>({ state: 'works' })
  let lost = false
  let clock: ReturnType<typeof setTimeout> | undefined

  onDoorState((now) => {
    clearTimeout(clock)
    if (now.state === 'works' && lost) notices.say(words.engine.back)
    lost = now.state !== 'works'
    // What is over in a moment must not move the page under the hand.
    if (now.state === 'again' && door.value.state === 'works')
      clock = setTimeout(() => {
        door.value = now
      }, moment)
    else door.value = now
  })

  return { door, startAgain: startEngineAgain }
})
