import { isRefusal, type Refusal } from '../refusal.ts'

/** Exit codes of every command. */
export const EXIT = { fine: 0, refused: 1, usage: 2 } as const

export interface Answer {
  status: number
  /** The result for a person; for a program it is `json`. */
  text: string
  json: unknown
}

export function sayTo(stream: NodeJS.WriteStream): (line: string) => void {
  return (line) => stream.write(`${line}\n`)
}

function refusalText({ happened, faults, next }: Refusal): string {
  return [happened, ...faults.map((fault) => `  ${fault}`), `Next: ${next}`].join('\n')
}

/** Runs a command and prints its answer; a refusal goes to stderr with what to do next, and answers 1. */
export async function answerPrint(json: boolean | undefined, run: () => Promise<Answer | null>): Promise<number> {
  try {
    const answer = await run()
    // Null: the answer itself went to the standard output.
    if (!answer) return EXIT.fine
    process.stdout.write(`${json ? JSON.stringify(answer.json, null, 2) : answer.text}\n`)
    return answer.status
  } catch (error) {
    if (!isRefusal(error)) throw error
    const { code, happened, faults, next } = error
    process.stderr.write(`${json ? JSON.stringify({ code, happened, faults, next }, null, 2) : refusalText(error)}\n`)
    return EXIT.refused
  }
}
