import { cpSync, mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { build } from 'vite'
import { root } from './doors.ts'

/** The built program with the engine that has no store in place of its own; the program's folder. */
export async function storelessProgram(folder: string): Promise<string> {
  const program = join(folder, 'program')
  mkdirSync(join(program, 'dist'), { recursive: true })
  writeFileSync(join(program, 'package.json'), '{ "name": "evenfilm", "main": "dist/main.cjs" }')
  for (const made of ['main.cjs', 'preload.cjs', 'worker.cjs', 'page']) {
    cpSync(join(root, 'dist', made), join(program, 'dist', made), { recursive: true })
  }
  await build({
    root,
    configFile: false,
    logLevel: 'warn',
    ssr: { noExternal: true },
    build: {
      ssr: join(import.meta.dirname, 'storeless-engine.ts'),
      outDir: join(program, 'dist'),
      emptyOutDir: false,
      target: 'node18',
      rolldownOptions: { output: { format: 'cjs', entryFileNames: 'engine.cjs' } },
    },
  })
  return program
}
