package org.cellherd.page;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.pack.TimeSource;

/**
 * One open page that is told the news by server-sent events, at most about once a second; what it
 * is too slow for is skipped. Runs on a thread of its own.
 */
final class Follower implements Runnable {

  /** Changes are collected for so long. */
  private static final long SPACING_MS = 900;

  /** A sign of life at least this often; a page that hears none calls everything stale. */
  private static final long TICK_MS = 4_000;

  private final LiveBoard board;
  private final News news;
  private final Followers.Line line;
  private final TimeSource time;

  /** A follower that was told nothing yet. */
  Follower(LiveBoard board, News news, Followers.Line line, TimeSource time) {
    this.board = board;
    this.news = news;
    this.line = line;
    this.time = time;
  }

  @Override
  public void run() {
    try (OutputStream out = line.open()) {
      write(out, "retry: 1500\n\n", List.of(news.hello()));
      while (!Thread.currentThread().isInterrupted()) {
        long seen = board.version();
        write(out, "", news.next());
        board.awaitChange(seen, TICK_MS);
        time.sleepNanos(SPACING_MS * 1_000_000);
      }
    } catch (IOException gone) {
      // The page was closed, or was dropped for being slow: it comes again by itself.
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
    }
  }

  private static void write(OutputStream out, String before, List<News.Message> messages)
      throws IOException {
    String text =
        Stream.concat(Stream.of(before), messages.stream().map(News.Message::sent))
            .collect(Collectors.joining());
    out.write(text.getBytes(StandardCharsets.UTF_8));
  }
}
