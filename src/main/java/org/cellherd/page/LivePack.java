package org.cellherd.page;

import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.alert.news.PackState;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;
import org.cellherd.report.plot.Track;
import org.cellherd.report.plot.Tracks;
import org.jspecify.annotations.Nullable;

/** The newest of one pack. Any thread; no call waits for anything but a few copies of numbers. */
final class LivePack {

  private static final long NANOS_PER_MS = 1_000_000;
  private static final double MV_PER_V = 1_000;

  private final PagePack pack;
  private final Strip strip;
  private PackState presence;
  private @Nullable Reading reading;
  private boolean isOfThisRun;
  private long heardNanos;
  private Facts summary = Facts.NONE;
  private String liveSentence = "";
  private long readings;
  private long changes;
  private boolean isFilled;

  LivePack(PagePack pack, long startMs) {
    this.pack = pack;
    this.strip = new Strip(pack.plan().series());
    this.presence = new PackState(PackState.Word.STARTING, startMs, "");
  }

  synchronized void heard(Reading newest, long nowNanos) {
    reading = newest;
    isOfThisRun = true;
    heardNanos = nowNanos;
    readings++;
    changes++;
    strip.add(newest.timeMs(), newest.cells());
  }

  /** The last reading of an earlier run, which is stale from the start. */
  synchronized void remember(Reading last) {
    if (reading == null) {
      reading = last;
      changes++;
    }
  }

  synchronized void state(PackState newest) {
    presence = newest;
    changes++;
  }

  synchronized void summary(Facts newest) {
    summary = newest;
    if (presence.isLive()) {
      liveSentence = newest.text("sentence").orElse("");
    }
    changes++;
  }

  synchronized PackNow now(long nowNanos) {
    Reading newest = reading;
    long ageMs = Math.max(0, (nowNanos - heardNanos) / NANOS_PER_MS);
    boolean isStale = !presence.isLive() || !isOfThisRun || ageMs > pack.validMs();
    return new PackNow(
        pack,
        presence,
        isStale,
        Optional.ofNullable(newest),
        isOfThisRun ? OptionalLong.of(ageMs) : OptionalLong.empty(),
        summary,
        liveSentence,
        readings,
        2 * changes + (isStale ? 1 : 0));
  }

  /** Claims the one filling of the strip from the log; false when it was claimed before. */
  synchronized boolean claimFilling() {
    boolean mine = !isFilled;
    isFilled = true;
    return mine;
  }

  /** The filling failed and may be tried again. */
  synchronized void unclaimFilling() {
    isFilled = false;
  }

  synchronized void fill(Tracks tracks) {
    strip.endAt(tracks.toMs() - 1);
    double columnMs = (tracks.toMs() - tracks.fromMs()) / (double) tracks.columns();
    for (int cell = 1; cell <= tracks.count(Channel.Kind.CELL); cell++) {
      Optional<Track> away = tracks.deviation(cell);
      Optional<Track> volts = tracks.of(Channel.cell(cell));
      boolean isAny = away.isPresent() && volts.isPresent();
      for (int column = 0; isAny && column < tracks.columns(); column++) {
        if (away.get().has(column) && volts.get().has(column)) {
          long middle = tracks.fromMs() + (long) ((column + 0.5) * columnMs);
          double mv = away.get().mean(column);
          strip.fill(middle, cell, mv, volts.get().mean(column) * MV_PER_V - mv);
        }
      }
    }
  }

  synchronized String stripJson() {
    return strip.json();
  }

  /** The newest column alone. */
  synchronized String columnJson() {
    return strip.json(1);
  }

  /** How far apart the cells were, for a small picture among those of other packs. */
  synchronized String outlineJson() {
    return strip.outlineJson(pack.plan().id());
  }

  synchronized long newestColumn() {
    return strip.newest();
  }
}
