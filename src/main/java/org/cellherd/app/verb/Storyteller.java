package org.cellherd.app.verb;

import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.Sink;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.engine.NowSentence;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.PackWatch;
import org.cellherd.pack.Reading;
import org.jspecify.annotations.Nullable;

/** Says once an hour what a person at the pack would see, and keeps what the summary needs. */
final class Storyteller implements Sink {

  private static final long HOUR_MS = 3_600_000;

  private final PrintWriter out;
  private final LocalClock clock;
  private final Map<String, PackStory> stories = new LinkedHashMap<>();
  private final List<AlertEvent> fresh = new ArrayList<>();
  private @Nullable Daemon daemon;

  Storyteller(List<PackConfig> packs, PrintWriter out, LocalClock clock) {
    this.out = out;
    this.clock = clock;
    packs.forEach(p -> stories.put(p.plan().id(), new PackStory(p.plan())));
  }

  void follow(Daemon followed) {
    daemon = followed;
  }

  @Override
  public void event(AlertEvent event) {
    fresh.add(event);
    story(event.alert().key().pack()).events.add(event);
  }

  @Override
  public void state(String pack, PackState state) {
    if (state.word() == PackState.Word.SILENT || state.word() == PackState.Word.ASLEEP) {
      out.println(clock.at(state.sinceMs()) + "  " + pack + ": no readings, " + state.cause());
    }
  }

  @Override
  public void reading(String pack, Reading reading) {
    PackStory story = story(pack);
    story.readings++;
    Optional<PackAnalysis> analysis = analysis(pack);
    if (analysis.isPresent() && reading.timeMs() >= story.nextHourMs) {
      story.nextHourMs = (reading.timeMs() / HOUR_MS + 1) * HOUR_MS;
      String who = stories.size() > 1 ? pack + ": " : "";
      out.println(clock.at(reading.timeMs()) + "  " + who + NowSentence.of(analysis.get()));
      out.flush();
    }
  }

  private Optional<PackAnalysis> analysis(String pack) {
    return Optional.ofNullable(daemon).flatMap(d -> d.watch(pack)).map(PackWatch::analysis);
  }

  @Override
  public void finding(String pack, Finding finding) {
    story(pack).findings.put(finding.name(), finding);
  }

  /** Events since last asked. */
  List<AlertEvent> takeFresh() {
    List<AlertEvent> taken = List.copyOf(fresh);
    fresh.clear();
    return taken;
  }

  /** What happened so far; call while the daemon followed still runs. */
  DemoSummary summary() {
    stories.forEach(
        (pack, story) -> story.last = analysis(pack).map(PackAnalysis::balance).orElse(story.last));
    return new DemoSummary(new ArrayList<>(stories.values()));
  }

  private PackStory story(String pack) {
    PackStory story = stories.get(pack);
    if (story == null) {
      throw new IllegalStateException("no pack " + pack);
    }
    return story;
  }
}
