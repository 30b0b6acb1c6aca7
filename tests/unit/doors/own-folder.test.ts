import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { folderOfProgram, ownFolder } from '../../../electron/desktop/own-folder.ts'

test.each([
  ['win32', 'C:\\Temp\\nsx1\\app\\Evenfilm.exe', { PORTABLE_EXECUTABLE_DIR: 'E:\\lab' }, 'E:\\lab'],
  ['win32', 'E:\\Evenfilm\\Evenfilm.exe', {}, 'E:\\Evenfilm'],
  ['darwin', '/Volumes/STICK/Evenfilm.app/Contents/MacOS/Evenfilm', {}, '/Volumes/STICK'],
  ['linux', '/tmp/.mount_Evenfi/evenfilm', { APPIMAGE: '/media/stick/Evenfilm.AppImage' }, '/media/stick'],
  ['linux', '/media/stick/evenfilm-0.1.0/evenfilm', {}, '/media/stick/evenfilm-0.1.0'],
] as const)('on %s the program %s is seen in its folder', (platform, execPath, env, folder) => {
  expect(folderOfProgram({ platform, execPath, env })).toBe(folder)
})

test('data stay beside the program where there is a folder for them, and only there', () => {
  const place = mkdtempSync(join(tmpdir(), 'evenfilm-own-'))
  const start = { platform: 'linux', execPath: `${place}/evenfilm`, env: {} } as const
  expect(ownFolder(start)).toBeNull()
  writeFileSync(join(place, 'evenfilm-data'), 'no folder')
  expect(ownFolder(start)).toBeNull()
  rmSync(join(place, 'evenfilm-data'))
  mkdirSync(join(place, 'evenfilm-data'))
  expect(ownFolder(start)).toBe(join(place, 'evenfilm-data'))
  rmSync(place, { recursive: true })
})
