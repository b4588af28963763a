package org.cellherd.toml;

import java.util.Collection;
import java.util.Locale;
import java.util.Optional;

/** Finds the word that somebody probably meant. */
public final class Suggestion {

  /** Longer words are not compared: the work grows with the square. */
  private static final int LONGEST = 64;

  private Suggestion() {}

  /** The nearest of some words, if one is near enough to be meant. */
  public static Optional<String> nearest(String word, Collection<String> words) {
    String best = "";
    int bestDistance = Integer.MAX_VALUE;
    for (String candidate : words) {
      int distance = distance(fold(word), fold(candidate));
      if (distance < bestDistance) {
        bestDistance = distance;
        best = candidate;
      }
    }
    int allowed = Math.max(1, Math.max(word.length(), best.length()) / 3);
    return bestDistance <= allowed ? Optional.of(best) : Optional.empty();
  }

  /** {@code , did you mean X?} or nothing. */
  public static String phrase(String word, Collection<String> words) {
    return nearest(word, words).map(w -> ", did you mean " + w + "?").orElse("");
  }

  private static String fold(String word) {
    return word.toLowerCase(Locale.ROOT).replace('-', '_');
  }

  /** Insertions, deletions, replacements and swaps of neighbours from one word to another. */
  static int distance(String a, String b) {
    if (a.length() > LONGEST || b.length() > LONGEST) {
      return a.equals(b) ? 0 : Integer.MAX_VALUE;
    }
    int[][] d = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      for (int j = 0; j <= b.length(); j++) {
        d[i][j] = i == 0 || j == 0 ? i + j : step(d, a, b, i, j);
      }
    }
    return d[a.length()][b.length()];
  }

  private static int step(int[][] d, String a, String b, int i, int j) {
    int change = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
    int best = Math.min(d[i - 1][j - 1] + change, Math.min(d[i - 1][j], d[i][j - 1]) + 1);
    boolean swapped =
        i > 1 && j > 1 && a.charAt(i - 1) == b.charAt(j - 2) && a.charAt(i - 2) == b.charAt(j - 1);
    return swapped ? Math.min(best, d[i - 2][j - 2] + 1) : best;
  }
}
