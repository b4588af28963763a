package org.cellherd.toml;

/**
 * One mistake in a user's file.
 *
 * @param file name as the user gave it
 * @param line line of the key, from 1; 0 when the whole file is meant
 * @param key full path of the key such as {@code pack[2].board.baud}, or ""
 * @param message what is wrong, what is allowed, did you mean
 */
public record Problem(String file, int line, String key, String message) {

  /** {@code file:line key: message}, without the parts that are unknown. */
  @Override
  public String toString() {
    StringBuilder text = new StringBuilder(file);
    if (line > 0) {
      text.append(':').append(line);
    }
    if (!key.isEmpty()) {
      text.append(' ').append(key);
    }
    return text.append(": ").append(message).toString();
  }
}
