package org.cellherd.protocol.sunspec;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/**
 * Which models of a bank belong to which of its strings, counted from 1 in the order of the map.
 * The model files do not say whether a string's own index begins at 0 or 1, so that it only tells
 * strings apart; where it does not, the models of a string follow each other. Immutable.
 */
final class Strings {
  /** Offset of a string's index in models 804 and 805. */
  private static final int INDEX = 2;

  private static final int STRING = 804;
  private static final int MODULE = 805;

  private final int[] stringOf;
  private final int count;

  private Strings(int[] stringOf, int count) {
    this.stringOf = stringOf.clone();
    this.count = count;
  }

  /** Of all models of a map, in its order. */
  static Strings of(List<Model> models) {
    List<Integer> strings = indices(models, STRING);
    Set<Integer> own = new LinkedHashSet<>(strings.isEmpty() ? indices(models, MODULE) : strings);
    boolean isTold =
        (strings.isEmpty() || own.size() == strings.size())
            && own.containsAll(indices(models, MODULE));
    return isTold ? byIndex(models, List.copyOf(own)) : byOrder(models);
  }

  private static List<Integer> indices(List<Model> models, int id) {
    return models.stream().filter(m -> m.id() == id).map(m -> m.register(INDEX)).toList();
  }

  private static Strings byIndex(List<Model> models, List<Integer> own) {
    int[] of =
        models.stream()
            .mapToInt(m -> m.id() < STRING ? 0 : own.indexOf(m.register(INDEX)) + 1)
            .toArray();
    return new Strings(of, own.size());
  }

  private static Strings byOrder(List<Model> models) {
    boolean hasStrings = models.stream().anyMatch(m -> m.id() == STRING);
    int[] of = new int[models.size()];
    int now = 0;
    for (int i = 0; i < of.length; i++) {
      int id = models.get(i).id();
      now += id == STRING || (!hasStrings && id == MODULE && now == 0) ? 1 : 0;
      of[i] = id < STRING ? 0 : Math.max(1, now);
    }
    return new Strings(of, Math.max(now, 0));
  }

  /** How many there are; 0 where no model tells. */
  int count() {
    return count;
  }

  /** The string of a model; 0 for what is of the whole bank. */
  int of(int model) {
    return stringOf[model];
  }
}
