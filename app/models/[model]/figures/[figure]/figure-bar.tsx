'use client'

import Link from 'next/link'
import { useState } from 'react'
import styles from './figure.module.css'

export interface FigureLink {
  href: string
  number: string
  title: string
}

export interface FigureBarProps {
  previous: FigureLink | null
  next: FigureLink | null
  print: string
  compare: string
}

/** Under the drawing: the figures beside it in the book, and what can be done with this one. */
export function FigureBar({ previous, next, print, compare, selected }: FigureBarProps & { selected: string | null }) {
  const [copied, setCopied] = useState<{ says: string; link?: string } | null>(null)

  async function copy() {
    const link = window.location.href
    const what = selected === null ? 'Link to this figure' : `Link to item ${selected}`
    try {
      await navigator.clipboard.writeText(link)
      setCopied({ says: `${what} copied.` })
    } catch {
      // Without https the browser keeps its clipboard to itself: the link is shown to be copied by hand.
      setCopied({ says: `${what}, to copy:`, link })
    }
  }

  return (
    <div className={styles.bar}>
      <nav aria-label="Figures of this parts book" className={styles.beside}>
        {previous ? (
          <Link href={previous.href} prefetch={false} rel="prev" aria-keyshortcuts="[">
            <span aria-hidden="true">‹ </span>
            <span className="visually-hidden">Previous figure: </span>
            {previous.number}
            <span className={styles.besideTitle}> {previous.title}</span>
          </Link>
        ) : (
          <span className="soft small">First figure</span>
        )}
        {next ? (
          <Link href={next.href} prefetch={false} rel="next" aria-keyshortcuts="]">
            <span className="visually-hidden">Next figure: </span>
            {next.number}
            <span className={styles.besideTitle}> {next.title}</span>
            <span aria-hidden="true"> ›</span>
          </Link>
        ) : (
          <span className="soft small">Last figure</span>
        )}
      </nav>
      <div className={styles.deeds}>
        <Link href={print} prefetch={false}>
          Print
        </Link>
        <Link href={compare} prefetch={false}>
          Compare<span className={styles.besideTitle}> serial numbers</span>
        </Link>
        <button type="button" onClick={copy}>
          Copy link
        </button>
      </div>
      <p className="small" role="status">
        {copied?.says}
        {copied?.link ? (
          <input readOnly aria-label="Link" value={copied.link} onFocus={(event) => event.target.select()} />
        ) : null}
      </p>
    </div>
  )
}
