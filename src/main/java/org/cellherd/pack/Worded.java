package org.cellherd.pack;

import java.util.Optional;

/** Something that is known by one word in files, topics and on the command line. */
public interface Worded {

  /** The word. */
  String word();

  /** The one that is known by a word; empty when none is. */
  static <T extends Worded> Optional<T> find(T[] all, String word) {
    for (T each : all) {
      if (each.word().equals(word)) {
        return Optional.of(each);
      }
    }
    return Optional.empty();
  }
}
