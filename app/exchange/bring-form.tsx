'use client'

import { useRouter } from 'next/navigation'
import { type FormEvent, useId, useRef, useState } from 'react'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'

/** Pieces small enough for a weak signal: a broken one is sent again, not the whole file. */
const PIECE_BYTES = 2_000_000
const TRIES_MAX = 5

interface Bringing {
  says: string
  share: number
  wrong: boolean
}

async function send(file: File, kind: string, from: number, key: string): Promise<number> {
  const query = new URLSearchParams({
    kind,
    file: file.name.slice(0, 200),
    bytes: String(file.size),
    from: String(from),
  })
  for (let turn = 1; ; turn++) {
    try {
      const answer = await fetch(`${paths.exchangeBring()}?${query}`, {
        method: 'POST',
        headers: { 'idempotency-key': key, 'content-type': 'application/octet-stream' },
        body: file.slice(from, from + PIECE_BYTES),
      })
      const said = (await answer.json()) as { bytes?: number; detail?: string; next?: string }
      if (answer.ok && typeof said.bytes === 'number') return Math.min(said.bytes, from + PIECE_BYTES)
      throw new RangeError([said.detail, said.next].filter(Boolean).join(' '))
    } catch (error) {
      // A refusal is an answer; only a broken line is tried again.
      if (error instanceof RangeError || turn === TRIES_MAX) throw error
      await new Promise((resolve) => setTimeout(resolve, 500 * 2 ** turn))
    }
  }
}

/** Chooses a kind and a file and brings the file over in pieces, with progress. */
export function BringForm({
  kinds,
  megabytesMax,
}: {
  kinds: readonly { name: string; title: string; says: string }[]
  megabytesMax: number
}) {
  const router = useRouter()
  const id = useId()
  const [bringing, setBringing] = useState<Bringing | null>(null)
  const key = useRef('')
  const busy = bringing !== null && !bringing.wrong

  async function bring(event: FormEvent<HTMLFormElement>) {
    event.preventDefault()
    const form = new FormData(event.currentTarget)
    const file = form.get('file')
    const kind = form.get('kind')
    if (busy || !(file instanceof File) || typeof kind !== 'string') return
    const wrong = (says: string) => setBringing({ says, share: 0, wrong: true })
    if (file.size === 0) return wrong('Choose a file that is not empty.')
    if (file.size > megabytesMax * 1e6)
      return wrong(`The file has more than ${megabytesMax} MB. Divide it into several files.`)
    key.current = freshKey()
      .replaceAll('-', '')
      .replace(/^(.{8})/, '$1-')
    try {
      for (let at = 0; at < file.size; ) {
        setBringing({ says: 'Bringing the file over', share: at / file.size, wrong: false })
        at = await send(file, kind, at, key.current)
      }
      setBringing({ says: 'The file is here', share: 1, wrong: false })
      router.push(paths.exchangeRun(key.current))
    } catch (error) {
      const why =
        error instanceof RangeError ? error.message : 'The line broke off. Nothing was imported; bring it again.'
      wrong(why)
    }
  }

  return (
    <form className="stack" onSubmit={bring} aria-label="Bring in a file">
      <div className="field">
        <label htmlFor={`${id}-kind`}>What is in it</label>
        <select id={`${id}-kind`} name="kind" defaultValue={kinds[0]?.name}>
          {kinds.map(({ name, title, says }) => (
            <option value={name} key={name}>
              {title}: {says}
            </option>
          ))}
        </select>
      </div>
      <div className="field">
        <label htmlFor={`${id}-file`}>File</label>
        <p className="hint" id={`${id}-hint`}>
          CSV, spreadsheet (XLSX) or JSON with a header row, at most {megabytesMax} MB. Nothing is changed before you
          have seen what would be.
        </p>
        <input
          id={`${id}-file`}
          name="file"
          type="file"
          required
          accept=".csv,.txt,.tsv,.xlsx,.json"
          aria-describedby={`${id}-hint`}
        />
      </div>
      {bringing?.wrong ? (
        <p className="alert" role="alert">
          {bringing.says}
        </p>
      ) : null}
      {busy ? (
        <p role="status">
          <label>
            {bringing.says} <progress max={1} value={bringing.share} />
          </label>
        </p>
      ) : null}
      <button type="submit" className="button primary" aria-disabled={busy || undefined}>
        Bring the file
      </button>
      <noscript>
        <p className="hint">
          This form needs scripts. Without them: cotterbook import KIND FILE on the machine of the workshop.
        </p>
      </noscript>
    </form>
  )
}
