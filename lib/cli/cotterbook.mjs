#!/usr/bin/env node
// The command `cotterbook`. Its commands are TypeScript, so the loader is put in place first.
import { register } from 'tsx/esm/api'

register()
const { main } = await import('./main.ts')
process.exitCode = await main(process.argv.slice(2))
