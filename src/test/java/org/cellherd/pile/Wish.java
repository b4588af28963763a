package org.cellherd.pile;

import java.util.HashSet;
import java.util.Set;
import java.util.function.ToIntFunction;

/** Whether an arrangement meets the wishes, asked of the ids alone. */
final class Wish {

  private Wish() {}

  /** The group of an id is -1 for a spare. */
  static boolean areMet(Matching.Rules rules, ToIntFunction<String> groupOf) {
    for (Set<String> ids : rules.together()) {
      Set<Integer> groups = new HashSet<>();
      ids.forEach(id -> groups.add(groupOf.applyAsInt(id)));
      if (groups.size() != 1 || groups.contains(-1)) {
        return false;
      }
    }
    for (Set<String> ids : rules.apart()) {
      Set<Integer> groups = new HashSet<>();
      for (String id : ids) {
        int group = groupOf.applyAsInt(id);
        if (group >= 0 && !groups.add(group)) {
          return false;
        }
      }
    }
    return true;
  }
}
