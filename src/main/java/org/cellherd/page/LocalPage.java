package org.cellherd.page;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.List;
import java.util.Map;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.Sink;
import org.cellherd.pack.Reading;

/**
 * The local web page. News comes from the herd's thread, which never waits here; requests are
 * answered by a few threads of the page's own. Methods may be called from any thread.
 */
public final class LocalPage implements AutoCloseable {

  private final Listener listener;
  private final Followers followers;
  private final LiveBoard board;
  private final Site site;

  private LocalPage(PageSettings settings, PageParts parts) throws IOException {
    this.board = new LiveBoard(parts.packs(), parts.time());
    this.followers = new Followers(board, parts.site(), parts.time(), parts.zone());
    Door door = new Door(settings, parts.time());
    Shell shell =
        new Shell(parts.site(), parts.zone(), settings.reports().isPresent(), parts.time());
    this.site = new Site(settings, parts, shell, board, followers);
    Guard guard = new Guard(door, site::answer, new Login(door, shell::login));
    this.listener = new Listener(settings.listen(), guard, parts.time());
  }

  /**
   * Takes the address; who asks waits for {@link #serve}.
   *
   * @throws IOException when the address cannot be listened on
   */
  public static LocalPage open(PageSettings settings, PageParts parts) throws IOException {
    return new LocalPage(settings, parts);
  }

  /**
   * Tells what was known before this run, and begins to answer.
   *
   * @param last the last reading of each pack of which one is known, shown as stale
   * @param active alerts
   * @param lately what happened to alerts, oldest first
   */
  public void serve(Map<String, Reading> last, List<Alert> active, List<AlertEvent> lately) {
    last.forEach(board::remember);
    active.forEach(board::standing);
    board.recall(lately);
    listener.start(site::rehearse);
  }

  /** Takes the news that it shows. */
  public Sink news() {
    return board;
  }

  public InetSocketAddress address() {
    return listener.address();
  }

  @Override
  public void close() {
    followers.close();
    listener.close();
  }
}
