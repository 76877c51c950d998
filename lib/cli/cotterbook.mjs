#!/usr/bin/env node
// The command `cotterbook`. Its commands are TypeScript, so the loader is put in place first.
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { register } from 'tsx/esm/api'

register()
const words = process.argv.slice(2)
const { EXCHANGE_NODE_FLAGS: flags } = await import('../exchange/node-flags.ts')
if (words[0] === 'import' && !flags.every((flag) => process.execArgv.includes(flag))) {
  // A list of a hundred thousand rows takes half the memory so, and flags are heard at the start only.
  const self = fileURLToPath(import.meta.url)
  const { status } = spawnSync(process.execPath, [...process.execArgv, ...flags, self, ...words], { stdio: 'inherit' })
  process.exitCode = status ?? 1
} else {
  const { main } = await import('./main.ts')
  process.exitCode = await main(words)
}
