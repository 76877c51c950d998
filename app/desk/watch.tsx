'use client'

import { useRouter } from 'next/navigation'
import { useEffect } from 'react'

const LOOK_MS = 2500

/** Looks again while pages are being read, so that the list tells when one is done. */
export function DeskWatch({ isReading }: { isReading: boolean }) {
  const router = useRouter()
  useEffect(() => {
    if (!isReading) return
    const timer = setInterval(() => {
      if (document.visibilityState === 'visible') router.refresh()
    }, LOOK_MS)
    return () => clearInterval(timer)
  }, [isReading, router])
  return null
}
