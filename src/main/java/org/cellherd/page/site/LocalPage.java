package org.cellherd.page.site;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.List;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.news.Sink;
import org.cellherd.pack.Reading;
import org.cellherd.page.PageParts;
import org.cellherd.page.PageSettings;
import org.cellherd.page.http.Door;
import org.cellherd.page.http.Guard;
import org.cellherd.page.http.Listener;
import org.cellherd.page.http.Login;
import org.cellherd.page.live.Followers;
import org.cellherd.page.live.LiveBoard;

/**
 * The local web page. News comes from the herd's thread, which never waits here; requests are
 * answered by a few threads of the page's own. Methods may be called from any thread.
 */
public final class LocalPage implements Sink, AutoCloseable {

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

  /** Begins to answer, once what was known before has been told. */
  public void serve() {
    listener.start(site::rehearse);
  }

  /** Where it listens. */
  public InetSocketAddress address() {
    return listener.address();
  }

  @Override
  public void reading(String pack, Reading reading) {
    board.heard(pack, reading);
  }

  /** The last reading of an earlier run, shown as stale. */
  public void remember(String pack, Reading reading) {
    board.remember(pack, reading);
  }

  @Override
  public void state(String pack, PackState state) {
    board.state(pack, state);
  }

  @Override
  public void summary(String pack, PackSummary summary) {
    board.summary(pack, summary.facts());
  }

  @Override
  public void standing(Alert alert) {
    board.standing(alert);
  }

  /** What happened to alerts before this run, oldest first. */
  public void recall(List<AlertEvent> before) {
    board.recall(before);
  }

  @Override
  public void event(AlertEvent event) {
    board.event(event);
  }

  @Override
  public void close() {
    followers.close();
    listener.close();
  }
}
