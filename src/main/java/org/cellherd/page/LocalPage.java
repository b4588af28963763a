package org.cellherd.page;

import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;
import org.cellherd.page.http.Door;
import org.cellherd.page.http.Guard;
import org.cellherd.page.http.Login;
import org.cellherd.page.http.Patience;
import org.cellherd.page.live.Followers;
import org.cellherd.page.live.LiveBoard;

/**
 * The local web page. News comes from the herd's thread, which never waits here; requests are
 * answered by a few threads of the page's own. Methods may be called from any thread.
 */
public final class LocalPage implements AutoCloseable {

  private static final int WORKERS = 3;
  private static final int BACKLOG = 16;

  private final HttpServer server;
  private final ThreadPoolExecutor workers;
  private final Patience patience;
  private final Followers followers;
  private final LiveBoard board;

  private LocalPage(PageSettings settings, PageParts parts) throws IOException {
    Bounds.set();
    this.server = HttpServer.create(settings.listen(), BACKLOG);
    this.board = new LiveBoard(parts.packs(), parts.time());
    this.patience = new Patience(parts.time());
    this.followers = new Followers(board, parts.site(), parts.time(), patience, parts.zone());
    this.workers = workers();
    Door door = new Door(settings, parts.time());
    Shell shell = new Shell(parts.site(), settings.reports().isPresent());
    Site site = new Site(settings, parts, shell, board, followers);
    server.createContext(
        "/", new Guard(door, site::answer, new Login(door, shell::login), patience));
    server.setExecutor(workers);
  }

  private static ThreadPoolExecutor workers() {
    int[] count = {0};
    ThreadPoolExecutor pool =
        new ThreadPoolExecutor(
            WORKERS,
            WORKERS,
            30,
            TimeUnit.SECONDS,
            new LinkedBlockingQueue<>(),
            task -> {
              Thread thread = new Thread(task, "page-worker-" + ++count[0]);
              thread.setDaemon(true);
              return thread;
            });
    pool.allowCoreThreadTimeOut(true);
    return pool;
  }

  /**
   * Takes the address; who asks waits for {@link #serve}.
   *
   * @throws IOException when the address cannot be listened on
   */
  public static LocalPage open(PageSettings settings, PageParts parts) throws IOException {
    return new LocalPage(settings, parts);
  }

  /** Begins to answer, once what was known before has been told. */
  public void serve() {
    server.start();
  }

  /** Where it listens. */
  public InetSocketAddress address() {
    return server.getAddress();
  }

  /** A new reading. */
  public void reading(String pack, Reading reading) {
    board.heard(pack, reading);
  }

  /** The last reading of an earlier run, shown as stale. */
  public void remember(String pack, Reading reading) {
    board.remember(pack, reading);
  }

  /** Whether a pack is heard. */
  public void state(String pack, Presence presence) {
    board.state(pack, presence);
  }

  /** What is happening with a pack: the facts of its summary. */
  public void summary(String pack, Facts summary) {
    board.summary(pack, summary);
  }

  /** An alert that stood before this run. */
  public void standing(Alert alert) {
    board.standing(alert);
  }

  /** An alert changed. */
  public void event(AlertEvent event) {
    board.event(event);
  }

  @Override
  public void close() {
    followers.close();
    patience.close();
    server.stop(0);
    workers.shutdownNow();
  }
}
