/** How long a reading of the database waits for others who ask for the same, ms. */
const together = 5

/**
 * Work that everybody who asks within a few milliseconds shares: after a write both the answer to it and the word that
 * the database changed ask for the same. It begins after the last of them has asked.
 */
export function soon(work: () => Promise<void>): () => Promise<void> {
  let waiting: Promise<void> | null = null
  return () => {
    waiting ??= new Promise((later) => setTimeout(later, together)).then(() => {
      waiting = null
      return work()
    })
    return waiting
  }
}
