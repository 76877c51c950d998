'use client'

import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { useEffect, useId, useRef, useState } from 'react'
import { paths } from '../paths.ts'
import styles from './masthead-search.module.css'

interface Hit {
  id: number
  number: string
  description: string
  says: string
}

/** Search as you type; without script it is a plain form that opens the search page. */
export function MastheadSearch() {
  const [hits, setHits] = useState<Hit[]>([])
  const [open, setOpen] = useState(false)
  const [active, setActive] = useState(-1)
  const list = useId()
  const asked = useRef<AbortController | null>(null)
  const router = useRouter()

  useEffect(() => () => asked.current?.abort(), [])

  async function ask(text: string) {
    asked.current?.abort()
    if (text.trim().length < 2) {
      setHits([])
      return
    }
    const mine = new AbortController()
    asked.current = mine
    try {
      const answer = await fetch(`/search/suggest?q=${encodeURIComponent(text)}`, { signal: mine.signal })
      if (!answer.ok) return
      setHits((await answer.json()) as Hit[])
      setActive(-1)
      setOpen(true)
    } catch (error) {
      // A newer letter was typed, or the signal is weak: the form still works.
      if (!(error instanceof DOMException && error.name === 'AbortError')) setHits([])
    }
  }

  return (
    <search className={`masthead-search ${styles.search}`}>
      <form action="/search" className={styles.form}>
        <input
          type="search"
          name="q"
          placeholder="Part number, word, machine"
          aria-label="Search parts, figures and machines"
          autoComplete="off"
          role="combobox"
          aria-expanded={open && hits.length > 0}
          aria-controls={list}
          aria-activedescendant={active >= 0 ? `${list}-${active}` : undefined}
          onChange={(event) => void ask(event.target.value)}
          onBlur={() => setOpen(false)}
          onKeyDown={(event) => {
            if (event.key === 'Escape') setOpen(false)
            if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
              event.preventDefault()
              setActive((at) => Math.max(-1, Math.min(hits.length - 1, at + (event.key === 'ArrowDown' ? 1 : -1))))
            }
            const hit = hits[active]
            if (event.key === 'Enter' && hit && open) {
              event.preventDefault()
              setOpen(false)
              router.push(paths.part(hit.id))
            }
          }}
        />
        <div
          id={list}
          role="listbox"
          aria-label="Parts found"
          className={styles.list}
          hidden={!open || hits.length === 0}
        >
          {hits.map((hit, at) => (
            <Link
              key={hit.id}
              id={`${list}-${at}`}
              role="option"
              tabIndex={-1}
              aria-selected={at === active}
              href={paths.part(hit.id)}
              prefetch={false}
              // Before the field loses the focus and the list closes.
              onMouseDown={(event) => event.preventDefault()}
              onClick={() => setOpen(false)}
            >
              <span className="number">{hit.number}</span> {hit.description}{' '}
              <span className="soft small">{hit.says}</span>
            </Link>
          ))}
        </div>
      </form>
    </search>
  )
}
