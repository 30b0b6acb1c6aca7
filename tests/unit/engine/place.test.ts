import { describe, expect, test } from 'vitest'
import { type Place, warningsOf } from '../../../electron/engine/store/place.ts'

const codes = (place: Partial<Place>) =>
  warningsOf({
    platform: 'linux',
    file: '/home/a/data/evenfilm.db',
    type: 0xef53,
    folders: [],
    ...place,
  }).map(({ code, message }) => {
    expect(message).toContain(place.file ?? '/home/a/data/evenfilm.db')
    expect(message).toMatch(/\.$/)
    return code
  })

describe('where a database lies', () => {
  test.each([
    ['win32', '\\\\server\\share\\evenfilm.db', 'networkFolder'],
    ['win32', '//server/share/evenfilm.db', 'networkFolder'],
    ['win32', '\\\\?\\UNC\\server\\share\\evenfilm.db', 'networkFolder'],
    ['win32', '\\\\?\\C:\\lab\\evenfilm.db', null],
    ['win32', 'C:\\lab\\evenfilm.db', null],
    ['darwin', '/Volumes/lab/evenfilm.db', 'otherVolume'],
    ['darwin', '/net/server/lab/evenfilm.db', 'networkFolder'],
    ['darwin', '/Users/a/Library/CloudStorage/Some/evenfilm.db', 'syncedFolder'],
    ['darwin', '/Users/a/Library/Application Support/evenfilm/evenfilm.db', null],
    ['linux', '/Volumes/lab/evenfilm.db', null],
  ] as const)('on %s, %s: %s', (platform, file, code) => {
    expect(codes({ platform, file, type: null })).toEqual(code === null ? [] : [code])
  })

  test('Linux tells shares by the type of the file system', () => {
    for (const type of [0x6969, 0xfe534d42, 0xff534d42, 0x01021997])
      expect(codes({ type })).toEqual(['networkFolder'])
    // ext4, tmpfs, btrfs
    for (const type of [0xef53, 0x01021994, 0x9123683e]) expect(codes({ type })).toEqual([])
  })

  test('a folder that is copied to other computers is known by what lies in it', () => {
    const folder = (names: string[], above: string[] = []) => [
      { folder: '/home/a/data', names: ['evenfilm.db', ...names] },
      { folder: '/home/a', names: above },
    ]
    expect(codes({ folders: folder(['evenfilm (conflicted copy of a).db']) })).toEqual(['syncedFolder'])
    expect(codes({ folders: folder(['evenfilm.sync-conflict-20260302.db']) })).toEqual(['syncedFolder'])
    expect(codes({ folders: folder(['.sync_state']) })).toEqual(['syncedFolder'])
    expect(codes({ folders: folder([], ['.lab-sync']) })).toEqual(['syncedFolder'])
    expect(codes({ folders: folder(['conflict of interest.txt', 'sync.txt', '.hidden']) })).toEqual([])
  })
})
