package org.cellherd.app.campaign.books;

/**
 * An event that may be missing in the log of the run that follows.
 *
 * @param event its id
 * @param run number of the run, from 0, at whose end it was there last
 */
public record Vanished(String event, int run) {}
