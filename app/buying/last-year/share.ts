/** 0.9614 as "96.1 %" */
export const share = (value: number): string => `${(100 * value).toFixed(1).replace(/\.0$/, '')} %`
