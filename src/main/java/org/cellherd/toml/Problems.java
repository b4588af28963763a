package org.cellherd.toml;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * All mistakes found in one or several files, so that a user mends them in one go. Belongs to one
 * thread.
 */
public final class Problems {

  /** More than anybody reads; a hostile file must not fill the memory. */
  static final int MOST = 200;

  private final List<Problem> list = new ArrayList<>();
  private int suppressed;

  /** Records a mistake; a repeat of the same one is ignored. */
  public void add(Problem problem) {
    if (list.contains(problem)) {
      return;
    }
    if (list.size() >= MOST) {
      suppressed++;
      return;
    }
    list.add(problem);
  }

  /** Records a mistake at a line of a file; line 0 means the whole file. */
  public void add(String file, int line, String key, String message) {
    add(new Problem(file, line, key, message));
  }

  /** True when nothing is wrong. */
  public boolean isEmpty() {
    return list.isEmpty();
  }

  public int count() {
    return list.size() + suppressed;
  }

  /** The mistakes, files in the order of their first mistake, lines ascending. */
  public List<Problem> sorted() {
    Map<String, Integer> order = new LinkedHashMap<>();
    for (Problem problem : list) {
      order.putIfAbsent(problem.file(), order.size());
    }
    List<Problem> result = new ArrayList<>(list);
    result.sort(
        Comparator.comparing((Problem p) -> order.getOrDefault(p.file(), 0))
            .thenComparing(Problem::line));
    return List.copyOf(result);
  }

  /** One line a mistake, and a closing line when there were too many to keep. */
  @Override
  public String toString() {
    StringBuilder text = new StringBuilder();
    for (Problem problem : sorted()) {
      text.append(text.isEmpty() ? "" : "\n").append(problem);
    }
    if (suppressed > 0) {
      text.append("\nand ").append(suppressed).append(" more");
    }
    return text.toString();
  }

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
}
