// Choices of this screen, kept in this browser.
export function remembered(key: string, otherwise: string): string {
  try {
    return localStorage.getItem(`record-${key}`) ?? otherwise;
  } catch {
    return otherwise; // storage refused
  }
}

export function remember(key: string, value: string): void {
  try {
    localStorage.setItem(`record-${key}`, value);
  } catch {
    // storage refused: the choice lasts as long as the screen
  }
}
