package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.List;
import java.util.OptionalLong;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.store.DatedStretch;
import org.cellherd.store.Redating;

/**
 * The stretches of a log and which of them were re-dated.
 *
 * @param stretches in order of happening
 * @param past what was re-dated, oldest first
 * @param zone of the times on a line; JSON has UTC
 */
record StretchList(List<DatedStretch> stretches, List<Redating.Past> past, ZoneId zone) {

  StretchList {
    stretches = List.copyOf(stretches);
    past = List.copyOf(past);
  }

  void print(AnswerOutput output, long nowMs) {
    if (output.isJson()) {
      output.json(
          Facts.of()
              .put("periods", stretches.stream().map(StretchList::facts).toList())
              .put("redated", past.stream().map(StretchList::facts).toList())
              .build());
      return;
    }
    if (stretches.isEmpty()) {
      output.line("The log holds nothing of this pack.");
    }
    for (DatedStretch stretch : stretches) {
      String how = stretch.run() == 0 ? "imported" : "run " + stretch.run();
      String note = stretch.endMs() > nowMs ? ", later than now" : "";
      String times = times(stretch.startMs(), stretch.endMs(), zone);
      String readings = Spoken.counted(stretch.readings(), "reading");
      output.line("period %s  %s  %s, %s%s".formatted(stretch.id(), times, readings, how, note));
    }
    for (Redating.Past each : past) {
      String time = SpokenTime.second(each.atMs(), zone);
      output.line(
          "Re-dated %s by %s: %s".formatted(time, each.byWhom(), sentence(each.what(), zone)));
    }
  }

  static void print(AnswerOutput output, Redating.Done done, ZoneId zone, boolean isDone) {
    if (output.isJson()) {
      output.json(add(Facts.of().put("written", isDone), done).build());
      return;
    }
    output.line(sentence(done, zone));
    output.line(
        isDone
            ? "Findings were made anew. Alerts and notes of these readings moved with them."
            : "Nothing was changed; --write does it.");
  }

  private static String sentence(Redating.Done what, ZoneId zone) {
    return Spoken.counted(what.readings(), "reading")
        + " of "
        + times(what.fromMs(), what.toMs(), zone)
        + " to "
        + times(what.fromMs() + what.offsetMs(), what.toMs() + what.offsetMs(), zone)
        + ": "
        + OffsetOption.text(what.offsetMs())
        + (what.gaps() == 0 ? "" : ", with " + Spoken.counted(what.gaps(), "gap"));
  }

  private static String times(long fromMs, long toMs, ZoneId zone) {
    return SpokenTime.second(fromMs, zone) + " .. " + SpokenTime.second(toMs, zone);
  }

  private static Facts facts(DatedStretch stretch) {
    return Facts.of()
        .put("period", stretch.id())
        .put("run", stretch.run() == 0 ? OptionalLong.empty() : OptionalLong.of(stretch.run()))
        .putTime("from", stretch.startMs())
        .putTime("to", stretch.endMs())
        .put("readings", stretch.readings())
        .build();
  }

  private static Facts facts(Redating.Past past) {
    Facts.Builder facts = Facts.of().putTime("time", past.atMs()).put("by", past.byWhom());
    return add(facts, past.what()).build();
  }

  private static Facts.Builder add(Facts.Builder facts, Redating.Done what) {
    return facts
        .put("readings", what.readings())
        .put("gaps", what.gaps())
        .putTime("old_from", what.fromMs())
        .putTime("old_to", what.toMs())
        .putTime("from", what.fromMs() + what.offsetMs())
        .putTime("to", what.toMs() + what.offsetMs())
        .put("offset_s", what.offsetMs() / 1000.0, 3);
  }
}
