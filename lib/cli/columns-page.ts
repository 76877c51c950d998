import { writeFileSync } from 'node:fs'
import { columnsPage } from '../exchange/columns-page.ts'

writeFileSync(new URL('../../docs/columns.md', import.meta.url), columnsPage())
