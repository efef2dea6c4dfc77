"""What stands round the subject: camera, backdrop, cards."""
