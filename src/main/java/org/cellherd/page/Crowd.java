package org.cellherd.page;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * Who is connected, bounded. A newcomer is never turned away, since it may be the owner, who speaks
 * at once: somebody goes for it who has not shown to be the owner and has been there longest. One
 * thread.
 */
final class Crowd {

  /** Connections in all: 16 kB of head and of body each are 4 MB at the worst. */
  static final int MOST = 128;

  /** Of one address: a browser opens six, and a household may stand behind one address. */
  static final int MOST_OF_ADDRESS = 32;

  private final Set<Caller> callers = new LinkedHashSet<>();

  /** Takes a newcomer and gives back who has to go for it. */
  Optional<Caller> admit(Caller newcomer) {
    callers.add(newcomer);
    List<Caller> neighbours =
        callers.stream().filter(c -> c.place().equals(newcomer.place())).toList();
    if (neighbours.size() > MOST_OF_ADDRESS) {
      return Optional.of(first(neighbours));
    }
    return callers.size() > MOST ? Optional.of(first(ofFullestPlace())) : Optional.empty();
  }

  /** Strangers of the address that has the most of them; the owner's where there are no others. */
  private List<Caller> ofFullestPlace() {
    Map<String, List<Caller>> places = new HashMap<>();
    callers.stream()
        .filter(c -> !c.isOwners())
        .forEach(c -> places.computeIfAbsent(c.place(), p -> new ArrayList<>()).add(c));
    return places.values().stream()
        .max(Comparator.comparingInt(List::size))
        .orElseGet(() -> List.copyOf(callers));
  }

  private static Caller first(List<Caller> some) {
    return some.stream()
        .min(
            Comparator.comparing(Caller::isOwners)
                .thenComparing(Caller::isBusy)
                .thenComparingLong(Caller::sinceNanos))
        .orElseThrow();
  }

  void leave(Caller caller) {
    callers.remove(caller);
  }

  boolean isEmpty() {
    return callers.isEmpty();
  }

  /** All of them, to be walked while some leave. */
  List<Caller> all() {
    return List.copyOf(callers);
  }
}
