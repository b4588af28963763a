package org.cellherd.report;

import java.util.List;
import org.cellherd.pack.Facts;

/** Facts in the words in which people read them, whatever they read them on. */
sealed interface Told {

  /** What it is called. */
  String name();

  /** A single value, a list of them, or a short sentence. */
  record Line(String name, String text) implements Told {}

  /**
   * The same facts of several cells, tests or days.
   *
   * @param facts of each row
   */
  record Table(String name, List<String> head, List<List<String>> rows, List<Facts> facts)
      implements Told {}

  /** What no line can hold. */
  record Parts(String name, List<Told> parts) implements Told {}
}
