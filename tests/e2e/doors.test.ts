import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Door, type OpenDoor, windowFirst } from './helpers/doors.ts'
import { callFromPage } from './helpers/page-call.ts'
import { shot } from './helpers/shots.ts'

describe.each(windowFirst)('the page behind the door: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: OpenDoor
    const complaints: string[] = []

    beforeAll(async () => {
      open = await door.open()
      open.page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()))
      open.page.on('pageerror', (error) => complaints.push(String(error)))
    })
    afterAll(() => open?.close())

    test('shows its first screen and nothing that the content policy refuses', async () => {
      await open.page.reload()
      await open.page.getByRole('navigation').first().waitFor()
      await shot(open.page, `first-screen-${door.name.replaceAll(' ', '-')}`)
      expect(complaints).toEqual([])
    })

    test('two pages on one database agree: what one changes the other shows', async () => {
      const second = await open.another()
      await second.getByRole('navigation').first().waitFor()
      await open.page.evaluate(callFromPage, {
        name: 'studies.create',
        args: { study: { name: 'Even beads' } },
      })
      await second.getByText('Even beads').first().waitFor({ timeout: 5000 })
      await second.close()
    })
  })
})
