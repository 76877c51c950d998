import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { cruise } from 'dependency-cruiser'
import { folders, MODULES_MIN, rules } from './boundaries.config.mjs'

const ROOT = fileURLToPath(new URL('../..', import.meta.url)).replace(/[\\/]$/, '')

/**
 * Reads every import below `root` and holds it against the rules. Answers the number of modules read (those that were
 * parsed, not those only named) and one line a fault.
 *
 * @param {string} root folder of the tree to look at
 * @returns {Promise<{ modules: number, faults: { rule: string, words: string }[] }>}
 */
export async function boundariesRead(root) {
  const present = folders.filter((folder) => existsSync(join(root, folder)))
  const tsConfig = ['tsconfig.json'].filter((file) => existsSync(join(root, file)))[0]
  const paths = tsConfig ? JSON.parse(readFileSync(join(root, tsConfig), 'utf8')).compilerOptions?.paths : undefined
  const result = await cruise(
    present,
    {
      baseDir: root,
      ruleSet: { forbidden: rules.map((rule) => ({ severity: 'error', ...rule })) },
      validate: true,
      // Types count: a type of the database in a pure module ties it to the database as much as a value does.
      tsPreCompilationDeps: true,
      doNotFollow: { path: ['node_modules', '^lib/db/generated/'] },
      exclude: { path: ['^[.]next/'] },
      skipAnalysisNotInRules: true,
    },
    {
      extensions: ['.ts', '.tsx', '.mjs', '.js', '.json', '.css'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
      exportsFields: ['exports'],
      mainFields: ['module', 'main', 'types'],
      ...(paths?.['@/*'] ? { alias: { '@': root } } : {}),
    },
  )
  if (typeof result.output === 'string') throw new Error('the reader of imports answered text, not a result')
  const { modules, summary } = result.output
  const read = modules.filter(
    (module) => /[.](ts|tsx|mjs)$/.test(module.source) && module.followable !== false && !module.couldNotResolve,
  )
  const faults = summary.violations.map((found) => {
    const loop = found.cycle ? ` (${found.cycle.map((step) => step.name).join(' -> ')})` : ''
    const comment = rules.find((rule) => rule.name === found.rule.name)?.comment ?? ''
    return { rule: found.rule.name, words: `${found.from} -> ${found.to}${loop}\n    ${found.rule.name}: ${comment}` }
  })
  return { modules: read.length, faults }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const { modules, faults } = await boundariesRead(ROOT)
  for (const fault of faults) console.error(fault.words)
  if (modules < MODULES_MIN) {
    console.error(
      `Only ${modules} modules were read, fewer than ${MODULES_MIN}: the reader failed, so nothing is shown.`,
    )
    process.exitCode = 1
  } else if (faults.length > 0) {
    console.error(`\n${faults.length} imports go the wrong way (${modules} modules read).`)
    process.exitCode = 1
  } else {
    console.info(`${modules} modules read; every import goes the right way.`)
  }
}
