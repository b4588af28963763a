package org.cellherd.forward;

import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.TreeMap;
import java.util.function.Consumer;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/**
 * The newest state of each pack, as the centre gets it; only the latest waits. What is new about it
 * goes at once; where only its numbers moved it goes once a minute, or a site on a metered line
 * would pay for them a hundred times what its whole log costs. Any thread.
 */
final class NowBoard {

  /** How old the numbers at the centre become. */
  static final long NUMBERS_NANOS = 60_000_000_000L;

  /**
   * A state that is to be sent.
   *
   * @param pack which pack
   * @param json the state
   */
  record Due(String pack, String json) {}

  private static final class Pack {
    final Facts planned;
    final Map<String, Alert> active = new TreeMap<>();
    @Nullable Facts state;
    @Nullable Facts summary;
    OptionalLong heardMs = OptionalLong.empty();
    boolean isDue = true;
    boolean hasMoved;
    long sentNanos;

    boolean isDue(long nowNanos) {
      return isDue || (hasMoved && nowNanos - sentNanos >= NUMBERS_NANOS);
    }

    Pack(Facts planned) {
      this.planned = planned;
    }
  }

  private final String log;
  private final Map<String, Pack> packs = new LinkedHashMap<>();

  /**
   * Of a site.
   *
   * @param log UUID of the log
   * @param plans each pack's plan, and what goes with it for a centre that folds again
   */
  NowBoard(String log, Map<PackPlan, Facts> plans) {
    this.log = log;
    plans.forEach(
        (plan, more) ->
            packs.put(
                plan.id(), new Pack(Facts.of().put("plan", facts(plan)).putAll(more).build())));
  }

  private static Facts facts(PackPlan plan) {
    return Facts.of()
        .put("name", plan.name())
        .put("chemistry", plan.chemistry().word())
        .put("series", plan.series())
        .put("parallel", plan.parallel())
        .put("rated_ah", plan.ratedMah() / 1000.0, 3)
        .build();
  }

  /** When its log heard a pack last, ms UTC: all that is known of one that is silent since. */
  synchronized void heard(String pack, OptionalLong ms) {
    change(pack, p -> p.heardMs = ms);
  }

  synchronized void state(String pack, PackState state) {
    change(pack, p -> p.state = state.facts());
  }

  synchronized void summary(String pack, PackSummary summary) {
    Pack known = packs.get(pack);
    if (known != null) {
      known.summary = summary.facts();
      known.hasMoved = true;
    }
  }

  /** Takes an alert; one that is over needs nobody at the centre, though it waits to be seen. */
  synchronized void alert(Alert alert, boolean stands) {
    change(
        alert.key().pack(),
        p -> {
          if (stands && alert.state() != AlertState.RETURNED) {
            p.active.put(alert.key().toString(), alert);
          } else {
            p.active.remove(alert.key().toString());
          }
        });
  }

  void event(AlertEvent event) {
    if (event.change() != AlertEvent.Change.NOTICE) {
      alert(event.alert(), event.stands());
    }
  }

  private void change(String pack, Consumer<Pack> what) {
    Pack known = packs.get(pack);
    if (known != null) {
      what.accept(known);
      known.isDue = true;
    }
  }

  /** Every state is to go: a connection begins, or ends with what moved last. */
  synchronized void sendAllAgain() {
    packs.values().forEach(p -> p.isDue = true);
  }

  synchronized void again(Due due) {
    change(due.pack(), p -> {});
  }

  synchronized Optional<Due> next(long nowNanos) {
    for (Map.Entry<String, Pack> each : packs.entrySet()) {
      if (each.getValue().isDue(nowNanos)) {
        each.getValue().isDue = false;
        each.getValue().hasMoved = false;
        each.getValue().sentNanos = nowNanos;
        return Optional.of(new Due(each.getKey(), json(each.getValue())));
      }
    }
    return Optional.empty();
  }

  private String json(Pack pack) {
    Facts.Builder facts = Facts.of().put("log", log).putAll(pack.planned);
    if (pack.state != null) {
      facts.put("state", pack.state);
    }
    if (pack.summary != null) {
      facts.put("summary", pack.summary);
    } else if (pack.heardMs.isPresent()) {
      facts.putTime("heard", pack.heardMs.getAsLong());
    }
    List<Facts> alerts =
        pack.active.values().stream()
            .sorted(Comparator.comparing(Alert::priority).thenComparing(Alert::sinceMs))
            .map(NowBoard::brief)
            .toList();
    return JsonText.of(facts.put("alerts", alerts).build());
  }

  private static Facts brief(Alert alert) {
    Facts.Builder facts =
        Facts.of()
            .put("rule", alert.key().rule().word())
            .put("priority", alert.priority().word())
            .putTime("since", alert.sinceMs())
            .put("text", alert.text());
    return facts.build();
  }
}
