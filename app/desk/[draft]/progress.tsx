'use client'

import { useRouter } from 'next/navigation'
import { useEffect, useState } from 'react'

const ASK_MS = 900

interface Progress {
  state: string
  progress: number
  step: string
}

/** How far the reading is. Asks again and again, whoever started it and whenever this screen was opened. */
export function ReadingProgress({ address, ...first }: Progress & { address: string }) {
  const router = useRouter()
  const [at, setAt] = useState<Progress>(first)
  const [isCut, setCut] = useState(false)
  useEffect(() => {
    let isOver = false
    let timer: ReturnType<typeof setTimeout> | undefined
    const ask = async () => {
      try {
        const answer = await fetch(address, { cache: 'no-store' })
        if (!answer.ok) throw new Error(answer.statusText)
        const now = (await answer.json()) as Progress
        if (isOver) return
        setCut(false)
        setAt(now)
        if (now.state !== 'waiting' && now.state !== 'reading') return router.refresh()
      } catch {
        // A weak signal: the reading goes on without us.
        if (!isOver) setCut(true)
      }
      if (!isOver) timer = setTimeout(ask, ASK_MS)
    }
    timer = setTimeout(ask, ASK_MS)
    return () => {
      isOver = true
      clearTimeout(timer)
    }
  }, [address, router])
  const percent = Math.round(at.progress * 100)
  return (
    <div className="stack tight">
      <progress max={100} value={percent} aria-label="Reading the page" style={{ width: '100%', height: '1.5rem' }}>
        {percent} %
      </progress>
      <p role="status">
        {isCut
          ? 'No answer from the workshop’s server just now; asking again.'
          : at.state === 'waiting'
            ? 'Another page is being read first.'
            : `${at.step || 'Reading'}: ${percent} %`}
      </p>
    </div>
  )
}
