import { type DemoLoaded, demoLoad } from '../db/demo.ts'
import { counted } from '../measure/counted.ts'
import { isRefusal } from '../refusal.ts'

export interface DemoCommandOptions {
  json?: boolean
  seed?: string
}

/** `cotterbook demo`: loads the demo estate into an empty database. Answers the exit code: 0 done, 1 refused. */
export async function demoCommand(options: DemoCommandOptions = {}): Promise<number> {
  try {
    const loaded = await demoLoad({
      now: new Date(),
      ...(options.seed === undefined ? {} : { seed: options.seed }),
      log: (line) => process.stderr.write(`${line}\n`),
    })
    process.stdout.write(options.json ? `${JSON.stringify(loaded)}\n` : said(loaded))
    return 0
  } catch (error) {
    if (!isRefusal(error)) throw error
    const { code, happened, next, faults } = error
    process.stderr.write(
      options.json
        ? `${JSON.stringify({ code, happened, next, faults })}\n`
        : [happened, ...faults.map((fault) => `  ${fault}`), `Next: ${next}`, ''].join('\n'),
    )
    return 1
  }
}

function said({ people, machines, figures, parts, jobs, movements, seconds }: DemoLoaded): string {
  return `The demo is loaded: ${counted(people, 'person', 'people')}, ${counted(machines, 'machine')}, ${counted(figures, 'figure')}, ${counted(parts, 'part')}, ${counted(jobs, 'job')} and ${counted(movements, 'movement')}, in ${seconds.toFixed(1)} seconds.\n`
}
