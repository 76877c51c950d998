'use client'

import { useSyncExternalStore } from 'react'

const never = () => () => {}

/** Whether scripts are at work: what could do nothing without them is not there before. */
export function useReady(): boolean {
  return useSyncExternalStore(
    never,
    () => true,
    () => false,
  )
}
