#!/usr/bin/env node
// The command `cotterbook`. Its commands are TypeScript, so the loader is put in place first.
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { register } from 'tsx/esm/api'

register()
// A list of a hundred thousand rows, and the proof of a million movements, take half the memory so.
const LEAN = ['import', 'verify']
const words = process.argv.slice(2)
const { LEAN_NODE_FLAGS: flags } = await import('../node-flags.ts')
if (LEAN.includes(words[0]) && !flags.every((flag) => process.execArgv.includes(flag))) {
  // Flags are heard at the start only.
  const self = fileURLToPath(import.meta.url)
  const { status } = spawnSync(process.execPath, [...process.execArgv, ...flags, self, ...words], { stdio: 'inherit' })
  process.exitCode = status ?? 1
} else {
  const { main } = await import('./main.ts')
  process.exitCode = await main(words)
}
