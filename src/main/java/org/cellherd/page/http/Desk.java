package org.cellherd.page.http;

/** Where whole requests are dealt with. */
interface Desk {

  /** True when a request shows that it is the owner's; quick, asked by the listener's thread. */
  boolean isOwners(HttpRequest request);

  /** Answers, on one of a few threads that must not be held up. */
  void handle(HttpRequest request, Reply reply);
}
