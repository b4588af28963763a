package org.cellherd.toml;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** The constants of an enum as users write them: in lower case. */
final class ConstantWords {

  private ConstantWords() {}

  static <E extends Enum<E>> List<String> of(Class<E> type) {
    List<String> words = new ArrayList<>();
    for (E constant : type.getEnumConstants()) {
      words.add(constant.name().toLowerCase(Locale.ROOT));
    }
    return words;
  }

  static <E extends Enum<E>> E constant(Class<E> type, String word) {
    return Enum.valueOf(type, word.toUpperCase(Locale.ROOT));
  }
}
