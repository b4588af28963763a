package org.cellherd.pack;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * An enum whose constants are known by one word in files, topics and on the command line. The word
 * is part of the users' files: renaming a constant renames it there too.
 */
public interface Worded {

  String name();

  /** The word: the name in lower case, with hyphens, such as {@code no-bytes}. */
  default String word() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** The words of all, in their order. */
  static <T extends Worded> List<String> words(T[] all) {
    return Arrays.stream(all).map(Worded::word).toList();
  }

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
