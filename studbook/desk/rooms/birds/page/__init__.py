"""The bird page: who is it, whose is it, what happened?"""
