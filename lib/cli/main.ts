import { existsSync, readFileSync } from 'node:fs'
import { Command, CommanderError } from 'commander'
import { INSTALLED_BASE } from '../demand/installed-base.ts'
import { KIND_NAMES, KINDS } from '../exchange/columns.ts'
import { type Settings, settingsMakeFolders, settingsRead } from '../settings.ts'
import { type Answer, answerPrint, EXIT, sayTo } from './answer.ts'
import { BACKTEST_HELP, type BacktestOptions, backtestAsked, backtestCommand } from './backtest.ts'
import { DEMAND_HELP, type DemandOptions, demandCommand, horizonAsked } from './demand.ts'
import type { DemoCommandOptions } from './demo.ts'
import type { ExportOptions, ImportOptions } from './exchange.ts'
import type { ImportFigureOptions } from './import-figure.ts'
import type { S1000dOptions } from './import-s1000d.ts'
import { LEVELS_HELP, type LevelsOptions, levelsAsked, levelsCommand, runAsked, TARGET_KIND_SAYS } from './levels.ts'
import { ORDER_PLAN_HELP, type OrderPlanOptions, orderPlanAsked, orderPlanCommand } from './order-plan.ts'
import { pageAsked, type ReadPageOptions, readPageCommand } from './read-page.ts'
import { READINESS_HELP, type ReadinessOptions, readinessAsked, readinessCommand } from './readiness.ts'
import type { StripOptions } from './strip.ts'

interface Json {
  json?: boolean
}
interface Force extends Json {
  force?: boolean
}

const EXIT_HELP = '\nExit code: 0 fine, 1 refused or something wrong found, 2 wrong usage.\n'
const READ_PAGE_HELP = `
Positions are pixels of the upright page as given; a PDF page has those of its drawing at 200 dpi.
A page without callouts and parts list is answered with kind "no-parts-page" and why, exit code 0.
`
const JSON_SAYS = 'print the answer as JSON (a refusal too, to stderr)'
const say = sayTo(process.stderr)

/** What a command needs is loaded when it is called: all of it takes as long as most commands do. */
async function migrating() {
  const [{ databaseClose }, { migrateDeploy }] = await Promise.all([
    import('../db/client.ts'),
    import('../../prisma/migrate.ts'),
  ])
  return { databaseClose, migrateDeploy }
}

/** Brings the workshop's database up to date, runs what writes to it, and closes it. */
async function inWorkshop(run: () => Promise<number>): Promise<number> {
  const { databaseClose, migrateDeploy } = await migrating()
  const settings = settingsRead()
  settingsMakeFolders(settings)
  await migrateDeploy(settings.databaseFile)
  try {
    return await run()
  } finally {
    await databaseClose()
  }
}

/** Before anybody is let in: the database up to date, and files of pages that nobody needs any more taken away. */
async function servePrepare(databaseFile: string): Promise<void> {
  const { databaseClose, migrateDeploy } = await migrating()
  const { pageFilesSweep } = await import('../db/page-files.ts')
  await migrateDeploy(databaseFile)
  try {
    await pageFilesSweep(new Date())
  } finally {
    await databaseClose()
  }
}

function serveRun(settings: Settings, { json }: Json): Promise<number> {
  return answerPrint(json, async () => {
    const { serve } = await import('./serve.ts')
    const status = await serve({ settings, prepare: servePrepare, say })
    return { status, text: 'Stopped.', json: { stopped: true, status } }
  })
}

function program(done: (status: number) => void): Command {
  const root = new Command('cotterbook')
    .description('Parts book, shelf, jobs, service book and order list of a workshop.')
    .version(
      (JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as { version: string }).version,
    )
    .showHelpAfterError('Next: cotterbook --help shows what can be said.')
    .exitOverride()
  const command = (parent: Command, words: string, says: string) =>
    parent.command(words).description(says).option('--json', JSON_SAYS).addHelpText('after', EXIT_HELP)

  command(root, 'serve', 'serve the screens on HOST and PORT (127.0.0.1 and 3000 when not set) until stopped').action(
    async (options: Json) => done(await serveRun(settingsRead(), options)),
  )
  command(root, 'demo', 'load the demo estate into an empty database')
    .option('--seed <text>', 'another seed makes another estate')
    .action(async (options: DemoCommandOptions) =>
      done(await inWorkshop(async () => (await import('./demo.ts')).demoCommand(options))),
    )
  const bring = root.command('import').description('bring data in')
  command(
    bring,
    'figure <path>',
    'bring one figure into the parts book: a folder, or a JSON file with its picture beside it',
  )
    .option('--dry-run', 'say what would be made, and make nothing')
    .option('--maker <name>', 'maker, where the file names none')
    .option('--model <name>', 'machine model, where the file names none')
    .action(async (path: string, options: ImportFigureOptions) =>
      done(await inWorkshop(async () => (await import('./import-figure.ts')).importFigureCommand(path, options))),
    )
  command(
    bring,
    's1000d <path>',
    'bring in illustrated parts data modules of S1000D 4.2 or 5.0: an XML file, or a folder of them, drawings beside',
  )
    .option('--dry-run', 'say what would be made, and make nothing')
    .option('--maker <name>', 'maker of the machine, in place of the company the module names')
    .option('--model <name>', 'machine model, in place of the model identification code')
    .action(async (path: string, options: S1000dOptions) =>
      done(
        await inWorkshop(() =>
          answerPrint(options.json, async () =>
            (await import('./import-s1000d.ts')).importS1000dCommand(path, options),
          ),
        ),
      ),
    )
  const take = root.command('export').description('take data out')
  for (const kind of KIND_NAMES) {
    const list = command(
      bring,
      `${kind} <file>`,
      `bring in ${KINDS[kind].says}: CSV, XLSX or JSON, columns as in docs/columns.md`,
    )
      .option('--dry-run', 'say what would be done and which rows stand in the way, and write nothing')
      .option(
        '--map <column=header>',
        'which header is which column; may be repeated',
        (pair, before: string[]) => [...before, pair],
        [],
      )
      .option('--refused <file>', 'write the refused rows to this CSV file, with why beside each')
    if (kind === 'prices')
      list.option('--right-rows', 'take the right rows and leave the others: a part with all its breaks or not at all')
    list.action(async (file: string, options: ImportOptions) =>
      done(
        await inWorkshop(() =>
          answerPrint(options.json, async () => (await import('./exchange.ts')).importCommand(kind, file, options)),
        ),
      ),
    )
    command(take, `${kind} [file]`, `write ${KINDS[kind].says} to a file, or to the standard output`)
      .option('--format <csv|xlsx|json>', 'else told from the name of the file; csv on the standard output')
      .action(async (file: string | undefined, options: ExportOptions) =>
        done(
          await inWorkshop(() =>
            answerPrint(options.json, async () => (await import('./exchange.ts')).exportCommand(kind, file, options)),
          ),
        ),
      )
  }
  command(
    root,
    'read-page <file>',
    'read callouts and parts list of one page: PDF, PNG, JPEG, TIFF, WebP or SVG; nothing is kept',
  )
    .option('--page <number>', 'page of a PDF or TIFF, counted from 1', '1')
    .addHelpText('after', READ_PAGE_HELP)
    .action(async (file: string, { json, page: asked }: ReadPageOptions) => {
      const page = pageAsked(asked)
      if (page === null) {
        say(`--page ${asked} is no page number.\nNext: give a whole number from 1, such as --page 3.`)
        done(EXIT.usage)
      } else done(await answerPrint(json, () => readPageCommand(file, page)))
    })
  const collect = (value: string, before: string[]) => [...before, value]
  command(
    root,
    'strip <figure>',
    'say what comes off, in what order, to renew an item of a figure file, and what else the job needs; nothing is kept',
  )
    .option('--target <item>', 'item to renew; may be repeated', collect, [])
    .option(
      '--position <code>',
      'LH, RH, a station, or DE and NDE of a shaft, as the figure has them; may be repeated',
      collect,
      [],
    )
    .action(async (path: string, options: StripOptions) => {
      if (options.target.length === 0) {
        say('No --target.\nNext: say which item is to be renewed, such as --target 5.')
        done(EXIT.usage)
      } else if (!existsSync(path)) {
        say(`There is no ${path}.\nNext: name a figure file, or a folder with figure.json.`)
        done(EXIT.usage)
      } else done(await answerPrint(options.json, async () => (await import('./strip.ts')).stripCommand(path, options)))
    })
  /** A command over a file: null stands for a file that is wrong, which has been said. */
  const overSeries = async (json: boolean | undefined, run: () => Promise<Answer | null>): Promise<void> => {
    let isBad = false
    const status = await answerPrint(json, async () => {
      const answer = await run()
      isBad = answer === null
      return answer
    })
    done(isBad ? EXIT.usage : status)
  }
  command(
    root,
    'demand <file>',
    'say of each part of a CSV of past demand what kind of demand it is and what is to come; nothing is kept',
  )
    .option('--horizon <periods>', 'coming periods that the distribution is for', '1')
    .addHelpText('after', DEMAND_HELP)
    .action(async (path: string, { json, horizon: asked }: DemandOptions) => {
      const horizon = horizonAsked(asked)
      if (horizon === null) {
        say(`--horizon ${asked} is no number of periods.\nNext: give a whole number from 1 to 999.`)
        done(EXIT.usage)
      } else await overSeries(json, () => demandCommand(path, horizon, { json, say }))
    })
  command(
    root,
    'backtest <file>',
    'run the shelf over a CSV of past demand and say what service each way to foresee gives, and with how much stock',
  )
    .requiredOption('--train <periods>', 'periods to learn from before the first that is judged')
    .option('--lead <periods>', 'lead time', '1')
    .option('--review <periods>', 'periods between two looks at the shelf', '1')
    .option('--targets <shares>', 'targets, with commas between them', '0.9,0.95,0.99')
    .option('--target-kind <fill|cycle>', TARGET_KIND_SAYS, 'fill')
    .option('--method <name>', 'only this one')
    .option('--choose', 'say which method needs least for the same achieved service, for each class')
    .addHelpText('after', BACKTEST_HELP)
    .action(async (path: string, options: BacktestOptions) => {
      const asked = backtestAsked(options)
      if (typeof asked === 'string') {
        say(`${asked}\nNext: cotterbook backtest --help shows what can be said.`)
        done(EXIT.usage)
      } else await overSeries(options.json, () => backtestCommand(path, asked, { json: options.json, say }))
    })
  command(
    root,
    'levels [file]',
    'say when to order each part of a CSV of past demand, and up to what, with the reason; or, with --shop, of all parts here',
  )
    .option('--shop', 'reckon all parts of this workshop; kept as proposals for the screen Levels, no level is changed')
    .option('--run <number>', 'with --shop: go on with a reckoning that the screen began')
    .option('--lead <periods>', 'lead time where the file has none')
    .option('--review <periods>', 'time between two looks at the shelf; 0 where every taking is seen', '0')
    .option('--target <share>', 'where the file has none', '0.95')
    .option('--target-kind <fill|cycle>', TARGET_KIND_SAYS, 'fill')
    .option('--method <name>', 'how the need to come is told from the past', INSTALLED_BASE.name)
    .option('--order-cost <money>', 'what one order costs, in the money of the column price', '10')
    .option('--holding <share>', 'what keeping a piece costs in a year, as a share of its price', '0.2')
    .option('--periods-per-year <number>', 'periods of the file in a year', '12')
    .addHelpText('after', LEVELS_HELP)
    .action(async (path: string | undefined, options: LevelsOptions) => {
      const asked = levelsAsked(options)
      const run = options.run === undefined ? null : runAsked(options.run)
      const isShop = options.shop === true
      if (isShop === (path !== undefined) || (options.run !== undefined && (!isShop || run === null))) {
        say(
          'What to reckon is not clear.\nNext: name a file of past demand, or say --shop for the parts of this workshop, not both; --run goes with --shop.',
        )
        done(EXIT.usage)
        return
      }
      if (path === undefined) {
        const shop = async () =>
          (await import('./levels-shop.ts')).levelsShopCommand(settingsRead(), run, () => new Date())
        done(await answerPrint(options.json, shop))
        return
      }
      if (typeof asked === 'string') {
        say(`${asked}\nNext: cotterbook levels --help shows what can be said.`)
        done(EXIT.usage)
        return
      }
      await overSeries(options.json, () => levelsCommand(path, asked, { json: options.json, say }))
    })
  command(
    root,
    'order-plan [file]',
    'say what to order where and when for a file of needs and offers (- for the standard input), or with --shop for this workshop; nothing is ordered',
  )
    .option('--shop', 'plan what this workshop wants now')
    .option('--run <number>', 'with --shop: go on with a reckoning that the screen began')
    .option('--time-limit <seconds>', 'after which the best plan so far is answered', '30')
    .option('--gap <share>', 'of the cost that the plan may lie above the least possible', '0')
    .addHelpText('after', ORDER_PLAN_HELP)
    .action(async (path: string | undefined, options: OrderPlanOptions) => {
      const asked = orderPlanAsked(options)
      const { json, run: said } = options
      const run = said === undefined ? null : runAsked(said)
      const isShop = options.shop === true
      if (isShop === (path !== undefined) || (said !== undefined && (!isShop || run === null))) {
        say(
          'What to plan is not clear.\nNext: name a problem file, or say --shop for what this workshop wants, not both; --run goes with --shop.',
        )
        done(EXIT.usage)
      } else if (typeof asked === 'string') {
        say(`${asked}\nNext: cotterbook order-plan --help shows what can be said.`)
        done(EXIT.usage)
      } else if (path !== undefined) await overSeries(json, () => orderPlanCommand(path, asked, { json, say }))
      else {
        const shop = { run, asked, json, say, now: () => new Date() }
        await overSeries(json, async () =>
          (await import('./order-plan-shop.ts')).orderPlanShopCommand(settingsRead(), shop),
        )
      }
    })
  command(root, 'readiness <plan>', 'say how likely planned work waits for no part, and what to buy; nothing is kept')
    .option('--budget <money>', 'list what this sum buys; everything that helps where it is not named')
    .option('--seed <text>', 'start of the dice', '1')
    .option('--runs <number>', 'seasons by dice')
    .option('--together', 'reckon with all that is needed together in a large plan too, by dice')
    .addHelpText('after', READINESS_HELP)
    .action(async (path: string, options: ReadinessOptions) => {
      const asked = readinessAsked(options)
      if (typeof asked === 'string') {
        say(`${asked}\nNext: cotterbook readiness --help shows what can be said.`)
        done(EXIT.usage)
      } else await overSeries(options.json, () => readinessCommand(path, asked, { json: options.json, say }))
    })
  command(
    root,
    'winter <plan>',
    'reckon a winter plan of this workshop by its number (the last part of its address) and keep the answer for its screen',
  ).action(async (plan: string, { json }: Json) => {
    const planId = runAsked(plan)
    if (planId === null) {
      say(`${plan} is no number of a plan.\nNext: it is the last part of the address of the plan on the screen.`)
      done(EXIT.usage)
    } else
      done(
        await answerPrint(json, async () =>
          (await import('./winter.ts')).winterCommand(settingsRead(), planId, () => new Date()),
        ),
      )
  })
  command(
    root,
    'last-year',
    'say what each way to set levels would have given over the last twelve months of this workshop; nothing is changed',
  ).action(async ({ json }: Json) =>
    done(await answerPrint(json, async () => (await import('./last-year.ts')).lastYearCommand(new Date(), say))),
  )
  command(
    root,
    'backup <file>',
    'write the whole data set, pictures and documents included, into one file; people may go on working',
  )
    .option('--force', 'replace the file when it is there already')
    .action(async (file: string, { json, force }: Force) =>
      done(
        await answerPrint(json, async () =>
          (await import('./backup.ts')).backupCommand(settingsRead(), file, force === true),
        ),
      ),
    )
  command(root, 'restore <file>', 'put a backup in the place of the data; what was there is kept beside it')
    .option('--force', 'go on although a server did not end properly; never while one runs')
    .action(async (file: string, { json, force }: Force) =>
      done(
        await answerPrint(json, async () =>
          (await import('./backup.ts')).restoreCommand(settingsRead(), file, force === true),
        ),
      ),
    )
  command(
    root,
    'verify [file]',
    'prove every invariant of the running data, or get a second opinion on a database file or backup',
  ).action(async (file: string | undefined, { json }: Json) =>
    done(
      await answerPrint(json, async () => {
        const { verifyFile, verifyWorkshop } = await import('./verify.ts')
        return file === undefined ? verifyWorkshop(settingsRead()) : verifyFile(file, say)
      }),
    ),
  )
  return root
}

/** Runs the command line and answers its exit code. */
export async function main(words: string[]): Promise<number> {
  let status: number = EXIT.usage
  try {
    await program((code) => {
      status = code
    }).parseAsync(words, { from: 'user' })
    return status
  } catch (error) {
    // Help and version come this way too, with 0.
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.fine : EXIT.usage
    const message = error instanceof Error ? error.message : String(error)
    say(`${message}\nNothing more was done. Next: correct the cause named above and run it again.`)
    return EXIT.refused
  }
}
